//! Items of the phone's shared storage: pictures and downloads, each under a content address.

use std::fs::File;
use std::io::{Read, Write};
use std::os::fd::{FromRawFd, OwnedFd};
use std::path::Path;

use android_activity::AndroidApp;
use jni::Env;
use jni::objects::JObject;

use crate::java::{self, Result};

/// A collection of the shared storage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Collection {
    Pictures,
    Downloads,
}

/// An item to be made.
pub(crate) struct NewItem<'i> {
    pub(crate) collection: Collection,
    pub(crate) name: &'i str,
    pub(crate) kind: &'i str,
    /// Others do not see it until it is finished.
    pub(crate) unfinished: bool,
}

/// Makes an item and says its address; `None` where the phone has no room or no storage for it.
pub(crate) fn make(app: &AndroidApp, item: &NewItem<'_>) -> Result<Option<String>> {
    java::with(app, |env, activity| {
        let values = new!(env, "android/content/ContentValues", "()V")?;
        put(env, &values, "_display_name", item.name)?;
        put(env, &values, "mime_type", item.kind)?;
        let folder = match item.collection {
            Collection::Pictures => "Pictures/Tautbook",
            Collection::Downloads => "Download/Tautbook",
        };
        put(env, &values, "relative_path", folder)?;
        if item.unfinished {
            put_number(env, &values, "is_pending", 1)?;
        }
        let whole = match item.collection {
            Collection::Pictures => "content://media/external/images/media",
            Collection::Downloads => "content://media/external/downloads",
        };
        let whole = address(env, whole)?;
        let resolver = resolver(env, activity)?;
        let made = call!(
            env,
            &resolver,
            "insert",
            "(Landroid/net/Uri;Landroid/content/ContentValues;)Landroid/net/Uri;",
            &whole,
            &values,
        )?
        .l()?;
        let made = java::said(env, &made)?;
        Ok((!made.is_empty()).then_some(made))
    })
}

/// Shows a finished item to others.
pub(crate) fn finish(app: &AndroidApp, item: &str) -> Result<()> {
    java::with(app, |env, activity| {
        let values = new!(env, "android/content/ContentValues", "()V")?;
        put_number(env, &values, "is_pending", 0)?;
        let item = address(env, item)?;
        let resolver = resolver(env, activity)?;
        call!(
            env,
            &resolver,
            "update",
            "(Landroid/net/Uri;Landroid/content/ContentValues;Ljava/lang/String;[Ljava/lang/String;)I",
            &item,
            &values,
            &JObject::null(),
            &JObject::null(),
        )?;
        Ok(())
    })
}

/// Takes an item of ours away. One that is gone already is none to worry about.
pub(crate) fn remove(app: &AndroidApp, item: &str) {
    let removed = java::with(app, |env, activity| {
        let item = address(env, item)?;
        let resolver = resolver(env, activity)?;
        call!(
            env,
            &resolver,
            "delete",
            "(Landroid/net/Uri;Ljava/lang/String;[Ljava/lang/String;)I",
            &item,
            &JObject::null(),
            &JObject::null(),
        )?;
        Ok(())
    });
    if let Err(error) = removed {
        eprintln!("an item stays in the shared storage: {}", java::why(&error));
    }
}

/// The name others gave an item; blank where it has none.
pub(crate) fn name(app: &AndroidApp, item: &str) -> String {
    column(app, item, "_display_name").unwrap_or_default()
}

/// How many bytes an item is said to have.
pub(crate) fn size(app: &AndroidApp, item: &str) -> u64 {
    let size = column(app, item, "_size").unwrap_or_default();
    size.parse().unwrap_or(0)
}

/// What is said of an item in a column.
fn column(app: &AndroidApp, item: &str, column: &str) -> Result<String> {
    java::with(app, |env, activity| {
        let item = address(env, item)?;
        let resolver = resolver(env, activity)?;
        let column = env.new_string(column)?;
        let columns = env.new_object_array(1, jni::jni_str!("java/lang/String"), &column)?;
        let rows = call!(
            env,
            &resolver,
            "query",
            "(Landroid/net/Uri;[Ljava/lang/String;Ljava/lang/String;[Ljava/lang/String;\
             Ljava/lang/String;)Landroid/database/Cursor;",
            &item,
            &columns,
            &JObject::null(),
            &JObject::null(),
            &JObject::null(),
        )?
        .l()?;
        if rows.is_null() {
            return Ok(String::new());
        }
        let said = if call!(env, &rows, "moveToFirst", "()Z")?.z()? {
            let said = call!(env, &rows, "getString", "(I)Ljava/lang/String;", 0)?.l()?;
            java::text(env, said)?
        } else {
            String::new()
        };
        call!(env, &rows, "close", "()V")?;
        Ok(said)
    })
}

/// Writes a short file, whole on the disk before it has its name.
pub(crate) fn keep(file: &Path, text: &str) -> std::io::Result<()> {
    let unfinished = file.with_extension(UNFINISHED);
    if let Some(folder) = file.parent() {
        std::fs::create_dir_all(folder)?;
    }
    let mut into = File::create(&unfinished)?;
    into.write_all(text.as_bytes())?;
    into.sync_all()?;
    std::fs::rename(&unfinished, file)
}

/// Opens an item to read (`"r"`) or write (`"w"`); `None` where there is nothing to open.
fn open(app: &AndroidApp, item: &str, how: &str) -> Result<Option<File>> {
    let fd = java::with(app, |env, activity| {
        let item = address(env, item)?;
        let how = env.new_string(how)?;
        let resolver = resolver(env, activity)?;
        let opened = call!(
            env,
            &resolver,
            "openFileDescriptor",
            "(Landroid/net/Uri;Ljava/lang/String;)Landroid/os/ParcelFileDescriptor;",
            &item,
            &how,
        )?
        .l()?;
        if opened.is_null() {
            return Ok(-1);
        }
        call!(env, &opened, "detachFd", "()I")?.i()
    })?;
    // SAFETY: a descriptor that was detached belongs to who detached it.
    Ok((fd >= 0).then(|| File::from(unsafe { OwnedFd::from_raw_fd(fd) })))
}

/// Why an item could not be brought over.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// The platform's answer.
    Platform(String),
    /// Reading or writing.
    Io(std::io::Error),
    /// It is larger than anything Tautbook takes in.
    TooLarge,
}

impl From<std::io::Error> for Trouble {
    fn from(error: std::io::Error) -> Self {
        Self::Io(error)
    }
}

/// The largest file taken in from others, 4 GiB: what a day file may hold unpacked.
const LARGEST: u64 = 4 << 30;

/// The ending of a file that is not whole yet.
pub(crate) const UNFINISHED: &str = "part";

/// Copies an item into a new file of ours, whole on the disk before it has its name. How many bytes
/// it has; an item without any, or that nothing was ever written into, makes no file.
pub(crate) fn copy_in(
    app: &AndroidApp,
    item: &str,
    to: &Path,
) -> std::result::Result<u64, Trouble> {
    let opened = match open(app, item, "r") {
        Err(error) if java::exception(&error) == "java.io.FileNotFoundException" => None,
        opened => opened.map_err(|error| Trouble::Platform(java::why(&error)))?,
    };
    let Some(from) = opened else {
        return Ok(0);
    };
    let unfinished = to.with_extension(UNFINISHED);
    let copied = (|| {
        let mut into = File::create(&unfinished)?;
        let bytes = std::io::copy(&mut from.take(LARGEST + 1), &mut into)?;
        if bytes > LARGEST {
            return Err(Trouble::TooLarge);
        }
        if bytes > 0 {
            into.sync_all()?;
            std::fs::rename(&unfinished, to)?;
            if let Some(folder) = to.parent() {
                File::open(folder)?.sync_all()?;
            }
        }
        Ok(bytes)
    })();
    if !matches!(copied, Ok(1..)) {
        std::fs::remove_file(&unfinished).ok();
    }
    copied
}

/// Copies a file of ours into an item.
pub(crate) fn copy_out(
    app: &AndroidApp,
    from: &Path,
    item: &str,
) -> std::result::Result<(), Trouble> {
    write_out(app, item, |into| {
        std::io::copy(&mut File::open(from)?, into)?;
        Ok(())
    })
}

/// Writes an item of the shared storage.
pub(crate) fn write_out<T>(
    app: &AndroidApp,
    item: &str,
    write: impl FnOnce(&mut File) -> std::result::Result<T, Trouble>,
) -> std::result::Result<T, Trouble> {
    let opened = open(app, item, "w").map_err(|error| Trouble::Platform(java::why(&error)))?;
    let Some(mut into) = opened else {
        return Err(Trouble::Platform("it cannot be opened".to_owned()));
    };
    let written = write(&mut into)?;
    into.flush()?;
    into.sync_all().or_else(|error| match error.kind() {
        // What is behind the descriptor may be a pipe, which cannot be synced.
        std::io::ErrorKind::InvalidInput | std::io::ErrorKind::Unsupported => Ok(()),
        _ => Err(error),
    })?;
    Ok(written)
}

/// A content address as Java has it.
pub(crate) fn address<'e>(env: &mut Env<'e>, text: &str) -> Result<JObject<'e>> {
    let text = env.new_string(text)?;
    call_static!(
        env,
        "android/net/Uri",
        "parse",
        "(Ljava/lang/String;)Landroid/net/Uri;",
        &text,
    )?
    .l()
}

fn resolver<'e>(env: &mut Env<'e>, activity: &JObject<'_>) -> Result<JObject<'e>> {
    call!(
        env,
        activity,
        "getContentResolver",
        "()Landroid/content/ContentResolver;"
    )?
    .l()
}

fn put(env: &mut Env<'_>, values: &JObject<'_>, key: &str, text: &str) -> Result<()> {
    let key = env.new_string(key)?;
    let text = env.new_string(text)?;
    call!(
        env,
        values,
        "put",
        "(Ljava/lang/String;Ljava/lang/String;)V",
        &key,
        &text,
    )?;
    Ok(())
}

fn put_number(env: &mut Env<'_>, values: &JObject<'_>, key: &str, number: i32) -> Result<()> {
    let key = env.new_string(key)?;
    let number = call_static!(
        env,
        "java/lang/Integer",
        "valueOf",
        "(I)Ljava/lang/Integer;",
        number
    )?
    .l()?;
    call!(
        env,
        values,
        "put",
        "(Ljava/lang/String;Ljava/lang/Integer;)V",
        &key,
        &number,
    )?;
    Ok(())
}
