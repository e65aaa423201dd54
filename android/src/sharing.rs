//! A file handed over: copied into the phone's downloads and offered to whatever can send it.

use std::path::Path;

use android_activity::AndroidApp;
use jni::objects::JObject;
use tautbook_core::book::pack;
use tautbook_core::language::Language;
use tautbook_core::{say, say_count};

use crate::java;
use crate::storage::{self, Collection, NewItem, Trouble};

/// Lets what is started read the item it is given.
const GRANT_READ: i32 = 1;

/// The name of the copy of a book.
const PACKED: &str = "tautbook-copy.zip";

/// What kind of file this is, by the end of its name.
fn kind(file: &Path) -> &'static str {
    match file.extension().and_then(|end| end.to_str()) {
        Some("pdf") => "application/pdf",
        Some("zip") => "application/zip",
        Some("csv") => "text/csv",
        Some("png") => "image/png",
        Some("jpg" | "jpeg") => "image/jpeg",
        _ => "application/octet-stream",
    }
}

/// Puts a file into the downloads and offers it. What was done with it, as a sentence.
pub(crate) fn share(app: &AndroidApp, language: Language, file: &Path) -> Result<String, String> {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    put_and_offer(app, language, (&name, kind(file)), |item| {
        storage::copy_out(app, file, item)
    })
    .map(|(said, ())| said)
}

/// Puts a copy of a book that cannot be opened, with its photos, into the downloads and offers it: what was
/// done, as a sentence.
pub(crate) fn share_book(
    app: &AndroidApp,
    language: Language,
    book: &Path,
) -> Result<String, String> {
    let zip = (PACKED, "application/zip");
    let (said, packed) = put_and_offer(app, language, zip, |item| {
        storage::write_out(app, item, |into| Ok(pack(book, into)?.1))
    })?;
    let then = say!(
        language,
        "On a computer, unpack it: there “tautbook recover” saves what a damaged book still holds."
    );
    let broken = match packed.broken {
        0 => String::new(),
        broken => say_count!(
            language,
            broken,
            "{n} file in it could not be read whole.",
            "{n} files in it could not be read whole."
        ),
    };
    Ok(format!("{said} {then} {broken}").trim_end().to_owned())
}

/// Makes an item of that name and kind among the downloads, fills and offers it: what was done, as a
/// sentence, and what came of filling it.
fn put_and_offer<T>(
    app: &AndroidApp,
    language: Language,
    (name, kind): (&str, &'static str),
    fill: impl FnOnce(&str) -> Result<T, Trouble>,
) -> Result<(String, T), String> {
    let item = NewItem {
        collection: Collection::Downloads,
        name,
        kind,
        unfinished: true,
    };
    let no_room = || {
        say!(
            language,
            "The phone has no room for a copy of this file. It is still in Tautbook. Free some \
             space and press again."
        )
    };
    let item = match storage::make(app, &item) {
        Ok(Some(item)) => item,
        Ok(None) => return Err(no_room()),
        Err(error) => return Err(could_not_copy(language, &java::why(&error))),
    };
    let filled = fill(&item).and_then(|filled| {
        storage::finish(app, &item)
            .map(|()| filled)
            .map_err(|error| Trouble::Platform(java::why(&error)))
    });
    let filled = match filled {
        Ok(filled) => filled,
        Err(trouble) => {
            storage::remove(app, &item);
            return Err(match trouble {
                Trouble::Io(error) if error.kind() == std::io::ErrorKind::StorageFull => no_room(),
                Trouble::Io(error) => could_not_copy(language, &error.to_string()),
                Trouble::Platform(why) => could_not_copy(language, &why),
                Trouble::TooLarge => no_room(),
            });
        }
    };
    // One of that name that was there already keeps it.
    let given = storage::name(app, &item);
    let name = if given.is_empty() { name } else { &given };
    let said = match offer(app, &item, kind) {
        Ok(()) => say!(
            language,
            "The file is in Download/Tautbook as {name}. Choose what sends it.",
            name = name
        ),
        Err(error) => {
            eprintln!("nothing to send with: {}", java::why(&error));
            say!(
                language,
                "The file is in Download/Tautbook as {name}. Nothing on this phone can send it: open it \
                 there.",
                name = name
            )
        }
    };
    Ok((said, filled))
}

fn could_not_copy(language: Language, why: &str) -> String {
    say!(
        language,
        "The file could not be copied to the phone's downloads: {why}. It is still in Tautbook. \
         Press again.",
        why = why
    )
}

fn offer(app: &AndroidApp, item: &str, kind: &str) -> java::Result<()> {
    java::with(app, |env, activity| {
        let action = "android.intent.action.SEND";
        let stream = ("android.intent.extra.STREAM", item);
        let intent = java::intent(env, action, stream, GRANT_READ)?;
        let kind = env.new_string(kind)?;
        call!(
            env,
            &intent,
            "setType",
            "(Ljava/lang/String;)Landroid/content/Intent;",
            &kind,
        )?;
        let choice = call_static!(
            env,
            "android/content/Intent",
            "createChooser",
            "(Landroid/content/Intent;Ljava/lang/CharSequence;)Landroid/content/Intent;",
            &intent,
            &JObject::null(),
        )?
        .l()?;
        java::start(env, activity, &choice)
    })
}
