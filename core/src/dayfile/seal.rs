//! A day file under a passphrase, in the age format (<https://age-encryption.org/v1>), so that it
//! can be opened without Tautbook as well.

use std::io::{self, BufReader, Read, Seek, SeekFrom, Write};
use std::path::Path;

use age::secrecy::SecretString;
use age::stream::{StreamReader, StreamWriter};
use age::{DecryptError, Decryptor, Encryptor, scrypt};

use super::error::DayFileError;

/// How an age file begins.
const MAGIC: &[u8] = b"age-encryption.org/v1\n";

/// The shortest passphrase that is written with. Files with shorter ones are read.
const LEAST: usize = 8;

/// The most work (2 to that power) that is spent on trying a passphrase: some seconds on a phone
/// and 256 MB. Our own files take 2^15: a third of a second and 32 MB.
const MOST_WORK: u8 = 18;
const WORK: u8 = 15;

/// Locks what is written into a file.
///
/// # Errors
/// What the file system says.
pub(super) fn lock<W: Write>(file: W, passphrase: &str) -> io::Result<StreamWriter<W>> {
    let mut recipient = scrypt::Recipient::new(SecretString::from(passphrase.to_owned()));
    recipient.set_work_factor(WORK);
    Encryptor::with_recipients(std::iter::once(&recipient as &dyn age::Recipient))
        .map_err(io::Error::other)?
        .wrap_output(file)
}

/// Refuses a passphrase that protects nothing; an empty one is none.
///
/// # Errors
/// [`DayFileError::ShortPassphrase`].
pub(super) fn passphrase(typed: Option<&str>) -> Result<Option<&str>, DayFileError> {
    match typed {
        None | Some("") => Ok(None),
        Some(typed) if typed.chars().count() < LEAST => {
            Err(DayFileError::ShortPassphrase { least: LEAST })
        }
        Some(typed) => Ok(Some(typed)),
    }
}

/// Anything a day file is read from.
pub(super) trait Source: Read + Seek + Send {}
impl<T: Read + Seek + Send> Source for T {}

/// A day file to be read: as it is, or unlocked.
///
/// # Errors
/// [`DayFileError::NeedsPassphrase`], [`DayFileError::WrongPassphrase`],
/// [`DayFileError::CutOff`]; what the file system says.
pub(super) fn open<'s>(
    mut source: impl Source + 's,
    path: &Path,
    passphrase: Option<&str>,
) -> Result<Box<dyn Source + 's>, DayFileError> {
    let wrong = |error: io::Error| DayFileError::io(path, &error);
    let mut start = Vec::new();
    source
        .by_ref()
        .take(MAGIC.len() as u64)
        .read_to_end(&mut start)
        .map_err(wrong)?;
    source.seek(SeekFrom::Start(0)).map_err(wrong)?;
    if start != MAGIC {
        return Ok(Box::new(BufReader::with_capacity(128 * 1024, source)));
    }
    let passphrase = passphrase
        .filter(|typed| !typed.is_empty())
        .ok_or(DayFileError::NeedsPassphrase)?;
    let decryptor = Decryptor::new(source).map_err(told)?;
    let mut identity = scrypt::Identity::new(SecretString::from(passphrase.to_owned()));
    identity.set_max_work_factor(MOST_WORK);
    let unlocked: StreamReader<_> = decryptor
        .decrypt(std::iter::once(&identity as &dyn age::Identity))
        .map_err(told)?;
    Ok(Box::new(BufReader::with_capacity(64 * 1024, unlocked)))
}

fn told(error: DecryptError) -> DayFileError {
    match error {
        DecryptError::DecryptionFailed
        | DecryptError::KeyDecryptionFailed
        | DecryptError::NoMatchingKeys => DayFileError::WrongPassphrase,
        error => DayFileError::CutOff {
            detail: error.to_string(),
        },
    }
}
