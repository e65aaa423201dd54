//! A picture by the phone's camera.
//!
//! The camera is asked by an intent to put its picture into an item of the shared storage that we
//! made; when the screens are back, the item is looked at. Its address is on the disk before the
//! camera starts, so that a phone that ends us meanwhile loses no picture.

use std::path::{Path, PathBuf};

use android_activity::AndroidApp;
use tautbook_core::language::Language;
use tautbook_core::say;

use crate::java;
use crate::storage::{self, Collection, NewItem, Trouble};

/// Lets the camera read and write the item it is given.
const GRANT_READ_WRITE: i32 = 1 | 2;

/// The file that keeps the address of the item the camera was given.
fn note(data: &Path) -> PathBuf {
    data.join("camera-item")
}

/// The pictures that were brought over and are not recorded yet.
pub(crate) fn folder(data: &Path) -> PathBuf {
    data.join("incoming")
}

/// What the name of a picture of the camera begins with.
const TAKEN: &str = "photo-";
/// What the name of a picture begins with that could not be kept.
const REFUSED: &str = "refused-";
/// What the name of a picture begins with that was there when the app started, and is tried once more.
const AGAIN: &str = "again-";

/// A file that was brought over has served: one that was kept goes, a picture that could not be stays
/// aside.
pub(crate) fn served(data: &Path, file: &Path, kept: bool) {
    if file.parent() != Some(&folder(data)) {
        return;
    }
    let cleared = if kept || !file.extension().is_some_and(|end| end == "jpg") {
        std::fs::remove_file(file)
    } else {
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        std::fs::rename(file, file.with_file_name(format!("{REFUSED}{name}")))
    };
    if let Err(error) = cleared {
        eprintln!("{} stays: {error}", file.display());
    }
}

/// Pictures of the camera that the phone ended the app over: to be taken in once more, each once. What
/// others sent is with them still, and goes.
pub(crate) fn left_over(data: &Path) -> Vec<PathBuf> {
    let mut left = Vec::new();
    for entry in std::fs::read_dir(folder(data))
        .into_iter()
        .flatten()
        .flatten()
    {
        let file = entry.path();
        let name = entry.file_name().to_string_lossy().into_owned();
        if name.starts_with(REFUSED) {
            continue;
        }
        if name.starts_with(TAKEN) {
            let again = file.with_file_name(format!("{AGAIN}{name}"));
            if std::fs::rename(&file, &again).is_ok() {
                left.push(again);
            }
        } else {
            served(data, &file, !name.starts_with(AGAIN));
        }
    }
    left
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

/// Starts the camera.
///
/// # Errors
/// Why it could not be, and what to do.
pub(crate) fn start(app: &AndroidApp, data: &Path, language: Language) -> Result<(), String> {
    let name = format!("tautbook-{}.jpg", chrono_name());
    let item = NewItem {
        collection: Collection::Pictures,
        name: &name,
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
    if let Err(error) = keep(&note(data), &item) {
        storage::remove(app, &item);
        eprintln!("the camera's item cannot be noted: {error}");
        return Err(no_room());
    }
    if let Err(error) = ask(app, &item) {
        eprintln!("no camera: {}", java::why(&error));
        storage::remove(app, &item);
        std::fs::remove_file(note(data)).ok();
        return Err(match java::exception(&error) {
            "java.lang.SecurityException" => say!(
                language,
                "The phone does not let Tautbook start the camera. Allow it in the phone's \
                 settings, or take the photo with the camera itself and share it to Tautbook."
            ),
            _ => say!(
                language,
                "There is no camera app on this phone. Share a photo to Tautbook from where it is."
            ),
        });
    }
    Ok(())
}

/// Writes a short file, whole on the disk before it has its name.
fn keep(file: &Path, text: &str) -> std::io::Result<()> {
    use std::io::Write as _;
    let unfinished = file.with_extension("part");
    let mut into = std::fs::File::create(&unfinished)?;
    into.write_all(text.as_bytes())?;
    into.sync_all()?;
    std::fs::rename(&unfinished, file)
}

/// A name by the time, to the thousandth of a second.
fn chrono_name() -> u128 {
    let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    now.map_or(0, |since| since.as_millis())
}

fn ask(app: &AndroidApp, item: &str) -> java::Result<()> {
    java::start(
        app,
        "android.media.action.IMAGE_CAPTURE",
        "",
        ("output", item),
        GRANT_READ_WRITE,
        false,
    )
}

/// What came of the camera, now that the screens are back: `None` when it was not asked.
pub(crate) fn pick_up(
    app: &AndroidApp,
    data: &Path,
    language: Language,
) -> Option<Result<PathBuf, String>> {
    let item = std::fs::read_to_string(note(data)).ok()?;
    let file = folder(data).join(format!("{TAKEN}{}.jpg", chrono_name()));
    let copied = std::fs::create_dir_all(folder(data))
        .map_err(Trouble::Io)
        .and_then(|()| storage::copy_in(app, &item, &file));
    let came = match copied {
        Ok(0) => Err(say!(
            language,
            "No photo came from the camera. Press the camera again to take one."
        )),
        Ok(_) => Ok(file),
        Err(Trouble::Io(error)) if error.kind() == std::io::ErrorKind::StorageFull => {
            // The picture stays where the camera put it, for when there is room.
            return Some(Err(say!(
                language,
                "The phone has no room for the photo. It is still in the phone's pictures. Free \
                 some space and come back to Tautbook."
            )));
        }
        Err(Trouble::Io(error)) => {
            eprintln!("the picture cannot be copied: {error}");
            std::fs::remove_file(note(data)).ok();
            return Some(Err(not_read(language)));
        }
        Err(Trouble::Platform(why)) => {
            eprintln!("the picture cannot be had: {why}");
            std::fs::remove_file(note(data)).ok();
            return Some(Err(not_read(language)));
        }
        Err(Trouble::TooLarge) => Err(not_read(language)),
    };
    // Ours is on the disk: the item among the phone's pictures has served.
    std::fs::remove_file(note(data)).ok();
    storage::remove(app, &item);
    Some(came)
}

fn not_read(language: Language) -> String {
    say!(
        language,
        "The photo could not be read. It is still in the phone's pictures: share it to Tautbook \
         from there."
    )
}
