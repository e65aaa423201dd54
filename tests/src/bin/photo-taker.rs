//! Takes in pictures as the app does, and says the SHA-256 of each on standard output once the book
//! has said it is recorded. Made to be killed: `photo-taker BOOK PICTURE...`; the pictures are of
//! the book's first load.

use std::io::Write;
use std::ops::ControlFlow;
use std::path::Path;

use anyhow::{Context, Result};
use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_core::photos::{Options, Source, prepare};
use tautbook_core::survey::Load;

fn main() -> Result<()> {
    let mut arguments = std::env::args_os().skip(1);
    let path = arguments.next().context("photo-taker BOOK PICTURE...")?;
    let (mut book, _) = Book::open(Path::new(&path), OpenMode::Existing, Box::new(SystemClock))?;
    let load = book.all::<Load>()?.first().context("a load")?.reference();
    for file in arguments {
        let mut go_on = |_| ControlFlow::Continue(());
        let source = Source::File(Path::new(&file));
        let picture = prepare(source, &Options::default(), &mut go_on)?;
        let kept = book.photo_folder().keep(&picture)?;
        book.act("add_photo", |act| act.add_photo(&kept, load, ""))?;
        let mut out = std::io::stdout().lock();
        out.write_all(format!("{}\n", kept.sha256()).as_bytes())
            .and_then(|()| out.flush())
            .context("standard output")?;
    }
    Ok(())
}
