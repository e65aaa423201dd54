//! What comes to the app: pictures of the camera, and what other programs send us, a day file to open
//! or a photo to keep.
//!
//! What is sent is copied into a folder of its own and stays there until it is recorded. All of this
//! may take its time, and is done on a thread beside the activity's.

use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

use android_activity::AndroidApp;
use jni::Env;
use jni::objects::JObject;
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_ui::device::Became;

use crate::camera::{self, Shot};
use crate::java;
use crate::storage::{self, Trouble};

/// The activity was brought back from the list of recent ones: what started it first was taken in
/// then.
const FROM_RECENTS: i32 = 0x0010_0000;
/// Bytes of a name that is given to a file here: it may have 255, with what comes to it.
const LONGEST_NAME: usize = 120;

/// What has come.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Arrival {
    /// A picture of the camera.
    Shot(Shot),
    /// A photo that was just sent.
    Photo(PathBuf),
    /// A photo that was sent before and is not recorded yet.
    Waiting(PathBuf),
    /// Anything else that was just sent: if it is no day file, reading it says so.
    DayFile(PathBuf),
    /// A day file that was being taken in when the app ended. It is no longer there.
    Interrupted(PathBuf),
    /// Something that could not be had: why, and what to do.
    Trouble(String),
    /// Something that there was no room for, and that is to be asked for again: its address.
    NoRoom(String),
}

/// What to look for.
#[derive(Debug, Clone)]
pub(crate) struct Search {
    pub(crate) language: Language,
    /// The camera was asked by this activity, and is closed.
    pub(crate) camera_closed: bool,
    /// The activity has not looked yet: what was left by those before it is looked for too.
    pub(crate) first: bool,
    /// What it was started with has not been taken in.
    pub(crate) started: bool,
    /// Addresses that there was no room for.
    pub(crate) again: Vec<String>,
}

/// The end of the name of the mark beside the folder of a picture that is being read.
const MARK: &str = "read";

/// Only one looks at a time, so that none takes what another is about to bring.
static LOOKS: Mutex<()> = Mutex::new(());

/// Looks for what has come.
pub(crate) fn look(app: &AndroidApp, data: &Path, search: &Search) -> Vec<Arrival> {
    let _one = LOOKS.lock().unwrap_or_else(PoisonError::into_inner);
    let mut came = Vec::new();
    if search.first {
        came.extend(left(data));
    }
    let (shots, troubles) = camera::pick_up(app, data, search.language, search.camera_closed);
    came.extend(shots.into_iter().map(Arrival::Shot));
    came.extend(troubles.into_iter().map(Arrival::Trouble));
    if search.started {
        match items(app) {
            Ok(items) => {
                for address in items {
                    came.extend(bring(app, data, search.language, &address));
                }
            }
            Err(error) => {
                came.push(Arrival::Trouble(not_read(
                    search.language,
                    &java::why(&error),
                )));
            }
        }
    }
    for address in &search.again {
        came.extend(bring(app, data, search.language, address));
    }
    came
}

/// The folder of what was sent: a folder for each file, so that it keeps its name.
fn folder(data: &Path) -> PathBuf {
    data.join("incoming/sent")
}

/// What was sent to activities before, and is not recorded.
fn left(data: &Path) -> Vec<Arrival> {
    let mut left = Vec::new();
    for folder in entries(&folder(data)) {
        let mark = folder.with_extension(MARK);
        let ended_the_app = mark.exists();
        for file in entries(&folder) {
            let whole = file
                .extension()
                .is_none_or(|end| end != storage::UNFINISHED);
            if whole && is_picture(&file) && !ended_the_app {
                left.push(Arrival::Waiting(file));
                continue;
            }
            std::fs::remove_file(&file).ok();
            left.push(Arrival::Interrupted(if whole {
                file
            } else {
                file.with_extension("")
            }));
        }
        std::fs::remove_dir(&folder).ok(); // Stays where a picture waits in it.
        std::fs::remove_file(&mark).ok();
    }
    left
}

/// What is there while a picture that was sent is read: should that end the app, it is not tried again.
pub(crate) fn mark_of(file: &Path) -> PathBuf {
    file.parent().unwrap_or(file).with_extension(MARK)
}

/// What lies in a folder, oldest first.
fn entries(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
    paths.sort();
    paths
}

/// What became of a file. Who sent it has it still, but one that there was no room for is kept, to be
/// tried again.
pub(crate) fn served(file: &Path, became: Became, language: Language) -> Option<String> {
    if became == Became::NoRoom {
        return Some(no_room(language));
    }
    if let Err(error) = std::fs::remove_file(file) {
        eprintln!("{} stays: {error}", file.display());
    }
    if let Some(folder) = file.parent() {
        std::fs::remove_dir(folder).ok();
    }
    None
}

fn no_room(language: Language) -> String {
    say!(
        language,
        "The phone has no room for the file that was sent. Free some space and come back to Tautbook, \
         or send it again."
    )
}

/// Whether a file is one of those that were sent.
pub(crate) fn has(data: &Path, file: &Path) -> bool {
    file.starts_with(folder(data))
}

/// A new folder for a file that was sent: of two in one moment each has its own.
fn own_folder(data: &Path) -> std::io::Result<PathBuf> {
    let all = folder(data);
    std::fs::create_dir_all(&all)?;
    let mut name = camera::now();
    loop {
        let folder = all.join(name.to_string());
        match std::fs::create_dir(&folder) {
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => name += 1,
            made => return made.map(|()| folder),
        }
    }
}

/// Brings over what was sent.
fn bring(app: &AndroidApp, data: &Path, language: Language, address: &str) -> Vec<Arrival> {
    let copied = own_folder(data).map_err(Trouble::Io).and_then(|folder| {
        let file = folder.join(file_name(&storage::name(app, address)));
        let copied = storage::copy_in(app, address, &file);
        if !matches!(copied, Ok(1..)) {
            std::fs::remove_dir(&folder).ok();
        }
        copied.map(|bytes| (file, bytes))
    });
    let trouble = match copied {
        Ok((_, 0)) => say!(
            language,
            "The file that was sent to Tautbook is empty. Send it again."
        ),
        Ok((file, _)) if is_picture(&file) => return vec![Arrival::Photo(file)],
        Ok((file, _)) => return vec![Arrival::DayFile(file)],
        Err(Trouble::Io(error)) if error.kind() == std::io::ErrorKind::StorageFull => {
            return vec![
                Arrival::NoRoom(address.to_owned()),
                Arrival::Trouble(no_room(language)),
            ];
        }
        Err(Trouble::TooLarge) => say!(
            language,
            "The file that was sent is larger than any day file."
        ),
        Err(Trouble::Io(error)) => not_read(language, &error.to_string()),
        Err(Trouble::Platform(why)) => not_read(language, &why),
    };
    vec![Arrival::Trouble(trouble)]
}

fn not_read(language: Language, why: &str) -> String {
    say!(
        language,
        "The file that was sent could not be read: {why}. Send it again.",
        why = why
    )
}

/// The content addresses the activity was started with.
fn items(app: &AndroidApp) -> java::Result<Vec<String>> {
    java::with(app, |env, activity| {
        let intent = call!(env, activity, "getIntent", "()Landroid/content/Intent;")?.l()?;
        if intent.is_null() {
            return Ok(Vec::new());
        }
        if call!(env, &intent, "getFlags", "()I")?.i()? & FROM_RECENTS != 0 {
            return Ok(Vec::new());
        }
        let action = call!(env, &intent, "getAction", "()Ljava/lang/String;")?.l()?;
        let stream = env.new_string("android.intent.extra.STREAM")?;
        let items = match java::text(env, action)?.as_str() {
            "android.intent.action.VIEW" => {
                let item = call!(env, &intent, "getData", "()Landroid/net/Uri;")?.l()?;
                vec![java::said(env, &item)?]
            }
            "android.intent.action.SEND" => {
                let item = call!(
                    env,
                    &intent,
                    "getParcelableExtra",
                    "(Ljava/lang/String;)Landroid/os/Parcelable;",
                    &stream,
                )?
                .l()?;
                vec![java::said(env, &item)?]
            }
            "android.intent.action.SEND_MULTIPLE" => {
                let list = call!(
                    env,
                    &intent,
                    "getParcelableArrayListExtra",
                    "(Ljava/lang/String;)Ljava/util/ArrayList;",
                    &stream,
                )?
                .l()?;
                all_said(env, &list)?
            }
            _ => return Ok(Vec::new()),
        };
        // They are taken in once, however often the activity is made again.
        call!(
            env,
            &intent,
            "setAction",
            "(Ljava/lang/String;)Landroid/content/Intent;",
            &JObject::null(),
        )?;
        let of_content = |item: &String| item.starts_with("content:");
        Ok(items.into_iter().filter(of_content).collect())
    })
}

/// What `toString` of each member of a list says.
fn all_said(env: &mut Env<'_>, list: &JObject<'_>) -> java::Result<Vec<String>> {
    if list.is_null() {
        return Ok(Vec::new());
    }
    let count = call!(env, list, "size", "()I")?.i()?;
    (0..count)
        .map(|at| {
            let item = call!(env, list, "get", "(I)Ljava/lang/Object;", at)?.l()?;
            java::said(env, &item)
        })
        .collect()
}

/// A name that can be no way out of its folder and leaves room for an ending.
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
        .collect();
    let name = name.trim_matches(['.', ' ']);
    let (stem, end) = match name.rsplit_once('.') {
        Some((stem, end)) if end.len() <= 10 => (stem, end),
        _ => (name, ""),
    };
    let mut most = stem.len().min(LONGEST_NAME);
    while !stem.is_char_boundary(most) {
        most -= 1;
    }
    match (&stem[..most], end) {
        // The ending of what is not whole yet.
        (stem, storage::UNFINISHED) => format!("{stem}-{}", storage::UNFINISHED),
        ("", _) => "sent".to_owned(),
        (stem, "") => stem.to_owned(),
        (stem, end) => format!("{stem}.{end}"),
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
