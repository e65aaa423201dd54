//! Pictures by the phone's camera.
//!
//! The camera is asked by an intent to put its picture into an item of the shared storage that we
//! made. What stands for a picture lies in one folder, under one name, the time it was asked for and
//! what it is for: `NAME.item`, the address of its item, before the camera starts; `NAME.jpg`, the
//! picture, once it is brought over; `NAME.tried`, when it was handed on before and the app ended. All
//! of it stays until the picture is recorded, and the item with it, so that a phone that ends us
//! loses no picture, and neither does a picture that cannot be taken in.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use android_activity::AndroidApp;
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_ui::device::Became;

use crate::java;
use crate::storage::{self, Collection, NewItem, Trouble};

/// Lets the camera read and write the item it is given.
const GRANT_READ_WRITE: i32 = 1 | 2;

/// As long as the camera may still be at it: asked by an activity that is gone, or writing late.
const STILL_OPEN: Duration = Duration::from_secs(600);

const ITEM: &str = "item";
const PICTURE: &str = "jpg";
const TRIED: &str = "tried";
/// It was said that no photo came.
const SAID: &str = "said";

/// Pictures that this process has handed on or brought over.
static KNOWN: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

/// The folder of pictures that are not recorded yet.
fn folder(data: &Path) -> PathBuf {
    data.join("incoming/camera")
}

/// Whether a file lies among them.
pub(crate) fn has(data: &Path, file: &Path) -> bool {
    file.parent() == Some(&folder(data))
}

/// A picture that is brought over and not recorded yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Shot {
    pub(crate) file: PathBuf,
    /// What it was asked for.
    pub(crate) target: String,
}

/// Whether there is a camera to ask.
pub(crate) fn is_there(app: &AndroidApp) -> bool {
    let there = java::with(app, |env, activity| {
        let packages = call!(
            env,
            activity,
            "getPackageManager",
            "()Landroid/content/pm/PackageManager;"
        )?
        .l()?;
        let any = env.new_string("android.hardware.camera.any")?;
        call!(
            env,
            &packages,
            "hasSystemFeature",
            "(Ljava/lang/String;)Z",
            &any,
        )?
        .z()
    });
    there.unwrap_or(false)
}

/// Starts the camera for a `target`.
///
/// # Errors
/// Why it could not be, and what to do.
pub(crate) fn start(
    app: &AndroidApp,
    data: &Path,
    language: Language,
    target: &str,
) -> Result<(), String> {
    let time = now();
    let item = NewItem {
        collection: Collection::Pictures,
        name: &format!("tautbook-{time}.jpg"),
        kind: "image/jpeg",
        unfinished: false,
    };
    let no_room = || {
        say!(
            language,
            "The phone has no room for a photo. Free some space and press the camera again."
        )
    };
    let item = match storage::make(app, &item) {
        Ok(Some(item)) => item,
        Ok(None) => return Err(no_room()),
        Err(error) => {
            eprintln!("no item for the camera: {}", java::why(&error));
            return Err(no_room());
        }
    };
    let note = folder(data).join(format!("{time} {target}.{ITEM}"));
    if let Err(error) = storage::keep(&note, &item) {
        storage::remove(app, &item);
        eprintln!("the camera's item cannot be noted: {error}");
        return Err(no_room());
    }
    let asked = java::with(app, |env, activity| {
        let action = "android.media.action.IMAGE_CAPTURE";
        let intent = java::intent(env, action, ("output", &item), GRANT_READ_WRITE)?;
        java::start(env, activity, &intent)
    });
    asked.map_err(|error| {
        eprintln!("no camera: {}", java::why(&error));
        storage::remove(app, &item);
        std::fs::remove_file(note).ok();
        match java::exception(&error) {
            "java.lang.SecurityException" => say!(
                language,
                "The phone does not let Tautbook start the camera. Allow it in the phone's \
                 settings, or take the photo with the camera itself and share it to Tautbook."
            ),
            _ => say!(
                language,
                "There is no camera app on this phone. Share a photo to Tautbook from where it is."
            ),
        }
    })
}

/// Thousandths of a second since 1970: a name.
pub(crate) fn now() -> u128 {
    let now = SystemTime::now().duration_since(UNIX_EPOCH);
    now.map_or(0, |since| since.as_millis())
}

/// Brings over what the camera left, now that the screens are back, and says what is there and what
/// could not be had. `closed`: it was this activity that asked last, and the camera is closed. One at a
/// time in a process.
pub(crate) fn pick_up(
    app: &AndroidApp,
    data: &Path,
    language: Language,
    closed: bool,
) -> (Vec<Shot>, Vec<String>) {
    let mut known = KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    let mut troubles = Vec::new();
    let notes = files(data, ITEM);
    let newest = notes.last().cloned();
    for note in notes {
        let file = note.with_extension(PICTURE);
        if file.exists() {
            continue;
        }
        match bring(
            app,
            language,
            &note,
            &file,
            closed && newest.as_ref() == Some(&note),
        ) {
            Ok(true) => {
                known.insert(file);
            }
            Ok(false) => {}
            Err(trouble) => troubles.push(trouble),
        }
    }
    let mut shots = Vec::new();
    for file in files(data, PICTURE) {
        if known.insert(file.clone()) {
            let tried = file.with_extension(TRIED);
            if tried.exists() {
                // The app ended over it twice.
                clear(&file);
                troubles.push(not_read(language));
                continue;
            }
            if let Err(error) = std::fs::write(&tried, "") {
                eprintln!("{} cannot be written: {error}", tried.display());
            }
        }
        let name = file.file_stem().unwrap_or_default().to_string_lossy();
        let target = name.split_once(' ').map_or("", |(_, target)| target);
        shots.push(Shot {
            target: target.to_owned(),
            file,
        });
    }
    (shots, troubles)
}

/// The files of an ending, oldest first.
fn files(data: &Path, end: &str) -> BTreeSet<PathBuf> {
    std::fs::read_dir(folder(data))
        .into_iter()
        .flatten()
        .flatten()
        .map(|entry| entry.path())
        .filter(|file| file.extension().is_some_and(|its| its == end))
        .collect()
}

/// Brings over the picture of a note, if there is one now.
fn bring(
    app: &AndroidApp,
    language: Language,
    note: &Path,
    file: &Path,
    closed: bool,
) -> Result<bool, String> {
    let item = match std::fs::read_to_string(note) {
        // Recorded meanwhile.
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(false),
        read => read.map_err(Trouble::Io),
    };
    let copied = item.and_then(|item| Ok((storage::copy_in(app, &item, file)?, item)));
    match copied {
        Ok((1.., _)) => Ok(true),
        Ok((0, item)) => {
            let is_new = std::fs::metadata(note)
                .and_then(|note| note.modified())
                .is_ok_and(|made| made.elapsed().is_ok_and(|age| age < STILL_OPEN));
            let said = file.with_extension(SAID);
            let none = closed && !said.exists();
            if is_new {
                // It may still write, late or in a window of its own: its item waits.
                if none {
                    std::fs::write(&said, "").ok();
                }
            } else {
                clear(file);
                if storage::size(app, &item) > 0 {
                    return Err(not_read(language));
                }
                storage::remove(app, &item);
            }
            if none {
                return Err(say!(
                    language,
                    "No photo came from the camera. Press the camera again to take one."
                ));
            }
            Ok(false)
        }
        // The note stays, and so does the picture where the camera put it, for when there is room.
        Err(Trouble::Io(error)) if error.kind() == std::io::ErrorKind::StorageFull => {
            Err(no_room_for_it(language))
        }
        Err(trouble) => {
            eprintln!("the picture cannot be had: {trouble:?}");
            std::fs::remove_file(note).ok();
            Err(not_read(language))
        }
    }
}

/// What became of a picture. One that was recorded goes from among the phone's pictures too; any other
/// stays there, which is said, and one that there was no room for is handed on again.
pub(crate) fn served(
    app: &AndroidApp,
    file: &Path,
    became: Became,
    language: Language,
) -> Option<String> {
    match became {
        Became::Recorded => {
            if let Ok(item) = std::fs::read_to_string(file.with_extension(ITEM)) {
                storage::remove(app, &item);
            }
            clear(file);
            None
        }
        Became::Refused => {
            clear(file);
            Some(say!(
                language,
                "The photo is still in the phone's pictures: share it to Tautbook from there."
            ))
        }
        Became::NoRoom => {
            std::fs::remove_file(file.with_extension(TRIED)).ok();
            Some(no_room_for_it(language))
        }
    }
}

fn no_room_for_it(language: Language) -> String {
    say!(
        language,
        "The phone has no room for the photo. It is still in the phone's pictures. Free some space \
         and come back to Tautbook."
    )
}

/// Removes what stands for a picture here; the note first, for without it nothing is brought over anew.
fn clear(file: &Path) {
    for end in [ITEM, PICTURE, TRIED, SAID] {
        std::fs::remove_file(file.with_extension(end)).ok();
    }
}

fn not_read(language: Language) -> String {
    say!(
        language,
        "The photo could not be read. It is still in the phone's pictures: share it to Tautbook \
         from there."
    )
}
