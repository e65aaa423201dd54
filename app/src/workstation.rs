//! What the screens ask of a desktop computer.

use std::cell::Cell;
use std::path::Path;

use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_ui::device::{Device, FileAnswer, PictureFrom, ShareAnswer};

/// A computer with a file chooser. It does not buzz, and its screen stays on by itself.
#[derive(Debug, Default)]
pub(crate) struct Workstation {
    language: Cell<Language>,
}

impl Device for Workstation {
    /// The first of them that says something holds, as in POSIX (base definitions, 8.2).
    fn language(&self) -> Option<Language> {
        let set = ["LC_ALL", "LC_MESSAGES", "LANG"];
        let locale = set
            .iter()
            .filter_map(|name| std::env::var(name).ok())
            .find(|locale| !locale.is_empty())?;
        Language::of_locale(&locale)
    }

    fn speak(&self, language: Language) {
        self.language.set(language);
    }

    fn buzz(&self) {}

    fn keep_screen_on(&self, _on: bool) {}

    /// The pictures of a camera come as files here.
    fn has_camera(&self) -> bool {
        false
    }

    fn ask_picture(&self, _from: PictureFrom, _target: &str, answer: FileAnswer) {
        let language = self.language.get();
        // The chooser waits for the person; the window goes on meanwhile.
        std::thread::spawn(move || {
            let chosen = rfd::FileDialog::new()
                .set_title(say!(language, "Choose a photo"))
                .add_filter(say!(language, "Pictures"), &["jpg", "jpeg", "png", "webp"])
                .add_filter(say!(language, "All files"), &["*"])
                .pick_file();
            answer(Ok(chosen));
        });
    }

    fn ask_day_file(&self, answer: FileAnswer) {
        let language = self.language.get();
        std::thread::spawn(move || {
            let chosen = rfd::FileDialog::new()
                .set_title(say!(language, "Choose a day file"))
                .add_filter(say!(language, "Day files"), &["zip", "age"])
                .add_filter(say!(language, "All files"), &["*"])
                .pick_file();
            answer(Ok(chosen));
        });
    }

    fn share(&self, file: &Path, answer: ShareAnswer) {
        answer(Ok(say!(
            self.language.get(),
            "It is in {file}: open it there to print or send it.",
            file = file.display()
        )));
    }
}
