//! What the screens ask of a desktop computer.

use std::path::Path;

use tautbook_ui::device::{Device, FileAnswer, PictureFrom};

/// A computer with a file chooser. It does not buzz, and its screen stays on by itself.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Workstation;

impl Device for Workstation {
    fn buzz(&self) {}

    fn keep_screen_on(&self, _on: bool) {}

    /// The pictures of a camera come as files here.
    fn has_camera(&self) -> bool {
        false
    }

    fn ask_picture(&self, _from: PictureFrom, answer: FileAnswer) {
        // The chooser waits for the person; the window goes on meanwhile.
        std::thread::spawn(move || {
            let chosen = rfd::FileDialog::new()
                .set_title("Choose a photo")
                .add_filter("Pictures", &["jpg", "jpeg", "png", "webp"])
                .add_filter("All files", &["*"])
                .pick_file();
            answer(Ok(chosen));
        });
    }

    fn ask_day_file(&self, answer: FileAnswer) {
        std::thread::spawn(move || {
            let chosen = rfd::FileDialog::new()
                .set_title("Choose a day file")
                .add_filter("Day files", &["zip", "age"])
                .add_filter("All files", &["*"])
                .pick_file();
            answer(Ok(chosen));
        });
    }

    fn share(&self, file: &Path) -> Result<String, String> {
        Ok(format!(
            "It is in {}: open it there to print or send it.",
            file.display()
        ))
    }
}
