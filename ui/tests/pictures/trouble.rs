//! The window in place of the screens when the book cannot be opened. A phone has nothing else to draw
//! its words with than what this window brings along.

use i_slint_core::lengths::{LogicalPoint, LogicalSize};
use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_ui::screens::{Shade, Tokens, TroubleWindow};
use tautbook_ui::trouble;

use crate::walk::Area;
use crate::{backend, draw, fits, folder, reference, save, survey, walk};

pub(crate) const NAME: &str = "trouble";

#[test]
fn trouble_with_the_book_is_said_whole_and_can_be_tried_again() {
    backend::backend();
    std::fs::create_dir_all(folder()).unwrap();
    for language in Language::ALL {
        let window = TroubleWindow::new().unwrap();
        let error = BookError::NotABook {
            path: "/data/user/0/app.tautbook/files/book.taut".into(),
        };
        window.set_text(
            trouble::said(
                &trouble::why(&error, language),
                trouble::can_be_replaced(&error),
                language,
            )
            .into(),
        );
        window.set_again_text(say!(language, "Try again").into());
        window.set_copy_text(say!(language, "Send a copy").into());
        window.show().unwrap();
        for shade in [Shade::Night, Shade::Day] {
            // What came of a copy has to be read too.
            window.set_said(if shade == Shade::Night {
                let shared = say!(
                    language,
                    "The file is in Download/Tautbook as {name}. Choose what sends it.",
                    name = "tautbook-copy.zip"
                );
                let then = say!(
                    language,
                    "On a computer, unpack it: there “tautbook recover” saves what a damaged book still holds."
                );
                window.set_new_note(trouble::before_new(language).into());
                window.set_new_text(say!(language, "Start a new book").into());
                format!("{shared} {then}").into()
            } else {
                window.set_new_text("".into());
                "".into()
            });
            window.global::<Tokens<'_>>().set_shade(shade);
            for (width, height) in [(320.0, 640.0), (360.0, 740.0), (915.0, 412.0)] {
                let picture = draw(window.window(), (width, height));
                let all = Area::new(LogicalPoint::default(), LogicalSize::new(width, height));
                let wrong = fits::wrong(&walk::walk(window.window()), &all, 0.0);
                assert!(
                    wrong.is_empty(),
                    "{language:?} at {width} by {height}: {wrong:?}"
                );
                let shade = format!("{shade:?}").to_lowercase();
                save(
                    &folder(),
                    &format!("{NAME}-{width}x{height}-{shade}-{}", language.code()),
                    &picture,
                );
                if (language, width, shade.as_str()) == (Language::English, 360.0, "day")
                    && !survey::is_asked()
                {
                    let told = reference::parts(NAME, &picture, &folder().join("changed"));
                    assert!(told.is_empty(), "{told}");
                }
            }
        }
        window.hide().unwrap();
    }
}
