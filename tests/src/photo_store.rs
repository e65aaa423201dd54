//! A book with pictures beside it, and whether what is there is whole.

use std::collections::BTreeSet;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_core::photos::{Options, Prepared, Source, prepare};
use tautbook_core::survey::{
    CheckItem, CheckResult, Line, Load, MachineCheck, Measure, Purpose, Reading, RecordRef, Setup,
    SetupRole, Visit, Zone,
};
use tautbook_core::units::MethodId;

use crate::{day, scene};

/// A made picture, another one for each `n`, taken in.
///
/// # Panics
/// When it is refused.
#[must_use]
#[allow(clippy::unwrap_used)]
pub fn picture(n: u16) -> Prepared {
    let bytes = scene::jpeg(96 + n, 64, false);
    let mut go_on = |_| ControlFlow::Continue(());
    prepare(Source::Bytes(&bytes), &Options::default(), &mut go_on).unwrap()
}

/// What pictures can show in a book that was just started.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shown {
    /// The visit.
    pub visit: RecordRef,
    /// Its line.
    pub line: RecordRef,
    /// A load.
    pub load: RecordRef,
    /// A reading of that load.
    pub reading: RecordRef,
    /// A check of the line's machine.
    pub check: RecordRef,
}

/// A book in a folder with one of each thing that pictures show.
///
/// # Panics
/// When it cannot be made.
#[must_use]
#[allow(clippy::unwrap_used)]
pub fn started(folder: &Path) -> (Book, Shown) {
    let mut book = day::empty(folder);
    let date = chrono::NaiveDate::from_ymd_opt(2026, 3, 4).unwrap();
    let done = book.act("start_visit", |act| {
        let visit = act.add(Visit {
            customer: "Harrow Tile".to_owned(),
            site: "Kiln Lane".to_owned(),
            date,
            rep: "R. Moss".to_owned(),
            purpose: Purpose::Baseline,
            bag: Vec::new(),
            safety: Vec::new(),
            notes: String::new(),
        })?;
        let line = act.add(Line::new(visit.id, "Line 1"))?;
        let check = act.add(MachineCheck {
            line: line.id,
            item: CheckItem::RollerLight,
            result: CheckResult::NeedsTechnician,
            gap: None,
            notes: String::new(),
        })?;
        let setup = act.add(Setup::new(line.id, "As found", SetupRole::AsFound))?;
        let load = act.add(Load::new(setup.id, "Load 1"))?;
        let reading = act.add(Reading {
            load: load.id,
            tool: None,
            zone: Zone::Middle,
            face: None,
            measure: Measure::new(MethodId::PullPlate, "12 lb 6 oz".parse().unwrap()),
            order: 1,
            taken_at: act.now(),
            who: "R. Moss".to_owned(),
            zeroed_at: None,
            minutes_since_wrapping: None,
            film_temperature_celsius: None,
            notes: String::new(),
        })?;
        Ok(Shown {
            visit: visit.reference(),
            line: line.reference(),
            load: load.reference(),
            reading: reading.reference(),
            check: check.reference(),
        })
    });
    (book, done.unwrap().value)
}

/// Files that somebody began to write and did not end.
#[must_use]
pub fn half_written(book: &Path) -> usize {
    let folder = book.with_file_name("photos");
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    entries
        .filter(|entry| entry.file_name().to_string_lossy().starts_with(".part-"))
        .count()
}

/// Opens a book after whatever befell it and holds what is there: it is sound, nothing is left half
/// written, each file is the picture that its name says, each thumbnail can be shown, and every
/// picture that was confirmed is among those of `of`.
///
/// # Panics
/// When one of these is not so.
#[allow(clippy::unwrap_used)]
pub fn hold(path: &Path, of: RecordRef, confirmed: &[String]) {
    let opened = Book::open(path, OpenMode::Existing, Box::new(SystemClock));
    let (book, _) = opened.unwrap_or_else(|error| panic!("the book does not open: {error}"));
    assert_eq!(half_written(path), 0, "left half written");
    let report = book.verify().unwrap();
    assert_eq!(report.faults, []);
    assert_eq!(report.photo_faults, []);
    let photos = book.photos_of(of).unwrap();
    let shown: BTreeSet<&str> = photos.iter().map(|photo| photo.sha256.as_str()).collect();
    for sha in confirmed {
        assert!(
            shown.contains(sha.as_str()),
            "{sha} was confirmed and is gone"
        );
    }
    let folder = book.photo_folder();
    for photo in &photos {
        let bytes = folder.read(&photo.sha256).unwrap();
        assert_eq!(u64::try_from(bytes.len()).unwrap(), photo.bytes);
        let thumb = folder.read_thumbnail(&photo.sha256, &Options::default());
        jpeg_decoder::Decoder::new(thumb.unwrap().as_slice())
            .decode()
            .unwrap();
    }
    for file in files(path) {
        let bytes = std::fs::read(&file).unwrap();
        if file.components().any(|part| part.as_os_str() == "thumbs") {
            jpeg_decoder::Decoder::new(bytes.as_slice())
                .decode()
                .unwrap();
        } else {
            let digits: String = Sha256::digest(&bytes)
                .iter()
                .map(|byte| format!("{byte:02x}"))
                .collect();
            assert_eq!(file.file_stem().unwrap().to_str().unwrap(), digits);
        }
    }
}

/// The files of the pictures beside a book, thumbnails among them.
fn files(book: &Path) -> Vec<PathBuf> {
    let folder = book.with_file_name("photos");
    if !folder.exists() {
        return Vec::new();
    }
    day::files(&folder)
        .into_iter()
        .map(|(path, _)| path)
        .collect()
}
