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
    java::with(app, |env, activity| {
        let action = env.new_string("android.media.action.IMAGE_CAPTURE")?;
        let intent = new!(
            env,
            "android/content/Intent",
            "(Ljava/lang/String;)V",
            &action
        )?;
        let address = storage::address(env, item)?;
        let output = env.new_string("output")?;
        call!(
            env,
            &intent,
            "putExtra",
            "(Ljava/lang/String;Landroid/os/Parcelable;)Landroid/content/Intent;",
            &output,
            &address,
        )?;
        let label = env.new_string("Tautbook")?;
        let clip = call_static!(
            env,
            "android/content/ClipData",
            "newRawUri",
            "(Ljava/lang/CharSequence;Landroid/net/Uri;)Landroid/content/ClipData;",
            &label,
            &address,
        )?
        .l()?;
        call!(
            env,
            &intent,
            "setClipData",
            "(Landroid/content/ClipData;)V",
            &clip,
        )?;
        call!(
            env,
            &intent,
            "addFlags",
            "(I)Landroid/content/Intent;",
            GRANT_READ_WRITE,
        )?;
        call!(
            env,
            activity,
            "startActivity",
            "(Landroid/content/Intent;)V",
            &intent,
        )?;
        Ok(())
    })
}

/// What came of the camera, now that the screens are back: `None` when it was not asked.
pub(crate) fn pick_up(
    app: &AndroidApp,
    data: &Path,
    language: Language,
) -> Option<Result<PathBuf, String>> {
    let item = std::fs::read_to_string(note(data)).ok()?;
    let file = folder(data).join(format!("photo-{}.jpg", chrono_name()));
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
