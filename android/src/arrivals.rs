//! What other programs send us: a day file to open, a photo to keep.

use std::io::Read as _;
use std::path::{Path, PathBuf};

use android_activity::AndroidApp;
use jni::objects::JObject;
use tautbook_core::language::Language;
use tautbook_core::say;

use crate::java;
use crate::storage::{self, Trouble};

/// The activity was brought back from the list of recent ones: what started it first was taken in
/// then.
const FROM_RECENTS: i32 = 0x0010_0000;

/// A file that was sent, copied into a folder of ours.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Arrival {
    /// A photo.
    Picture(PathBuf),
    /// Anything else: if it is no day file, reading it says so.
    DayFile(PathBuf),
}

/// What the activity was started with, once; `None` when it was started by hand.
pub(crate) fn take(
    app: &AndroidApp,
    data: &Path,
    language: Language,
) -> Option<Result<Arrival, String>> {
    let item = match item(app) {
        Ok(item) => item?,
        Err(error) => {
            eprintln!("what was sent cannot be seen: {}", java::why(&error));
            return None;
        }
    };
    let folder = crate::camera::folder(data);
    let file = folder.join(file_name(&storage::name(app, &item)));
    let copied = std::fs::create_dir_all(&folder)
        .map_err(Trouble::Io)
        .and_then(|()| storage::copy_in(app, &item, &file));
    Some(match copied {
        Ok(0) => Err(say!(
            language,
            "The file that was sent to Tautbook is empty. Send it again."
        )),
        Ok(_) if is_picture(&file) => Ok(Arrival::Picture(file)),
        Ok(_) => Ok(Arrival::DayFile(file)),
        Err(Trouble::Io(error)) if error.kind() == std::io::ErrorKind::StorageFull => Err(say!(
            language,
            "The phone has no room for the file that was sent. Free some space and send it again."
        )),
        Err(Trouble::TooLarge) => Err(say!(
            language,
            "The file that was sent is larger than any day file."
        )),
        Err(Trouble::Io(error)) => Err(not_read(language, &error.to_string())),
        Err(Trouble::Platform(why)) => Err(not_read(language, &why)),
    })
}

fn not_read(language: Language, why: &str) -> String {
    say!(
        language,
        "The file that was sent could not be read: {why}. Send it again.",
        why = why
    )
}

/// The content address the activity was started with.
fn item(app: &AndroidApp) -> java::Result<Option<String>> {
    java::with(app, |env, activity| {
        let intent = call!(env, activity, "getIntent", "()Landroid/content/Intent;")?.l()?;
        if intent.is_null() {
            return Ok(None);
        }
        if call!(env, &intent, "getFlags", "()I")?.i()? & FROM_RECENTS != 0 {
            return Ok(None);
        }
        let action = call!(env, &intent, "getAction", "()Ljava/lang/String;")?.l()?;
        let address = match java::text(env, action)?.as_str() {
            "android.intent.action.VIEW" => {
                call!(env, &intent, "getData", "()Landroid/net/Uri;")?.l()?
            }
            "android.intent.action.SEND" => {
                let stream = env.new_string("android.intent.extra.STREAM")?;
                call!(
                    env,
                    &intent,
                    "getParcelableExtra",
                    "(Ljava/lang/String;)Landroid/os/Parcelable;",
                    &stream,
                )?
                .l()?
            }
            _ => return Ok(None),
        };
        // It is taken in once, however often the activity is made again.
        call!(
            env,
            &intent,
            "setAction",
            "(Ljava/lang/String;)Landroid/content/Intent;",
            &JObject::null(),
        )?;
        let address = java::said(env, &address)?;
        Ok(address.starts_with("content:").then_some(address))
    })
}

/// A name that can be no way out of its folder.
fn file_name(given: &str) -> String {
    let name: String = given
        .chars()
        .map(|sign| {
            if sign.is_control() || matches!(sign, '/' | '\\' | ':') {
                '-'
            } else {
                sign
            }
        })
        .take(100)
        .collect();
    match name.trim_matches(['.', ' ']) {
        "" => "sent".to_owned(),
        name => name.to_owned(),
    }
}

/// Whether a file begins as JPEG, PNG, WebP and HEIC pictures do.
fn is_picture(file: &Path) -> bool {
    let mut start = [0; 12];
    let read = std::fs::File::open(file).and_then(|mut file| file.read_exact(&mut start));
    read.is_ok()
        && (start.starts_with(b"\xff\xd8\xff")
            || start.starts_with(b"\x89PNG\r\n\x1a\n")
            || (start.starts_with(b"RIFF") && &start[8..] == b"WEBP")
            || &start[4..8] == b"ftyp")
}
