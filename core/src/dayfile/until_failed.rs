//! A file that is written until something fails.

use std::io::{self, Seek, SeekFrom, Write};

/// Passes what is written on until that fails. The error is told once; what comes after it goes
/// nowhere, and the place only moves forward.
///
/// The ZIP writer goes on writing when it is dropped after an error, from wherever it stood, and
/// takes a place before the one it began at for a fault of its own.
pub(super) struct UntilFailed<W> {
    to: W,
    failed: Option<io::ErrorKind>,
    /// The furthest place that was written.
    end: u64,
    at: u64,
}

impl<W> UntilFailed<W> {
    pub(super) fn new(to: W) -> Self {
        Self {
            to,
            failed: None,
            end: 0,
            at: 0,
        }
    }

    /// What it was written to, if nothing failed.
    ///
    /// # Errors
    /// That something failed, even if nobody asked at the time.
    pub(super) fn into_inner(self) -> io::Result<W> {
        match self.failed {
            None => Ok(self.to),
            Some(kind) => Err(kind.into()),
        }
    }

    fn note<T>(&mut self, done: io::Result<T>) -> io::Result<T> {
        if let Err(error) = &done
            && error.kind() != io::ErrorKind::Interrupted
        {
            self.failed = Some(error.kind());
        }
        done
    }
}

impl<W: Write> Write for UntilFailed<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let written = if self.failed.is_some() {
            self.at = self.end;
            bytes.len()
        } else {
            let written = self.to.write(bytes);
            self.note(written)?
        };
        self.at += written as u64;
        self.end = self.end.max(self.at);
        Ok(written)
    }

    fn flush(&mut self) -> io::Result<()> {
        if self.failed.is_some() {
            return Ok(());
        }
        let flushed = self.to.flush();
        self.note(flushed)
    }
}

impl<W: Seek> Seek for UntilFailed<W> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        if self.failed.is_some() {
            return Ok(self.end);
        }
        let at = self.to.seek(to);
        self.at = self.note(at)?;
        Ok(self.at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Takes so many bytes.
    struct Small(Vec<u8>, usize);

    impl Write for Small {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            if self.0.len() + bytes.len() > self.1 {
                return Err(io::ErrorKind::StorageFull.into());
            }
            self.0.write(bytes)
        }
        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn the_error_is_told_once_and_again_in_the_end() {
        let mut file = UntilFailed::new(Small(Vec::new(), 8));
        file.write_all(b"12345").unwrap();
        let error = file.write_all(b"67890").unwrap_err();
        assert_eq!(error.kind(), io::ErrorKind::StorageFull);
        file.write_all(b"1").unwrap();
        file.flush().unwrap();
        assert_eq!(file.to.0, b"12345");
        let error = file.into_inner().err().unwrap();
        assert_eq!(error.kind(), io::ErrorKind::StorageFull);
    }

    #[test]
    fn after_an_error_the_place_only_moves_forward() {
        let mut file = UntilFailed::new(io::Cursor::new(Vec::new()));
        file.write_all(b"12345").unwrap();
        file.seek(SeekFrom::Start(1)).unwrap();
        file.seek(SeekFrom::Current(-9)).unwrap_err();
        assert_eq!(file.stream_position().unwrap(), 5);
        file.write_all(b"12").unwrap();
        assert_eq!(file.seek(SeekFrom::Start(0)).unwrap(), 7);
        assert_eq!(file.to.get_ref(), b"12345");
    }
}
