//! A book as large as years of visits make it, invented, the same on every run but for the name
//! of its device.

use std::path::Path;

use tautbook_core::book::{Book, BookError, OpenMode, SystemClock};
use tautbook_core::survey::{
    Entity, Face, Id, Line, Load, Measure, Moment, Photo, Purpose, Reading, Record, RecordSet,
    Setup, SetupRole, Visit, Zone,
};
use tautbook_core::units::{MethodId, TypedError};
use uuid::Uuid;

use crate::seeded::Seeded;

/// Visits in the book.
pub const VISITS: usize = 2_000;
/// Loads in the book.
pub const LOADS: usize = VISITS * LOADS_A_VISIT;
/// Readings in the book.
pub const READINGS: usize = LOADS * READINGS_A_LOAD;
/// Photo records in the book.
pub const PHOTOS: usize = VISITS * PHOTOS_A_VISIT;

const LOADS_A_VISIT: usize = 10;
const READINGS_A_LOAD: usize = 10;
const PHOTOS_A_VISIT: usize = 25;
/// Visits that go into the book as one action.
const BATCH: usize = 50;

/// In a third of all captions and in many notes.
pub const COMMON_WORD: &str = "corner";
/// In the notes of one visit only.
pub const RARE_WORD: &str = "quinquereme";

const FIRST: &[&str] = &[
    "Harrow", "Kiln", "Ashdown", "Brindle", "Corran", "Dunmore", "Elder", "Farrow", "Glenside",
    "Holm", "Ivel", "Juniper", "Kestrel", "Larch", "Marram", "Nether", "Orchard", "Pewter",
    "Quarry", "Rushmere", "Sallow", "Tarn", "Upland", "Vetch", "Wherry", "Yarrow",
];
const SECOND: &[&str] = &[
    "Tile", "Bottling", "Paper", "Feeds", "Ceramics", "Dairy", "Seeds", "Timber", "Salt",
    "Canning", "Mills", "Glass",
];
const PLACES: &[&str] = &[
    "Dock Road",
    "Mill Street",
    "Old Brickworks",
    "North Quay",
    "Station Yard",
    "Canal Side",
];
const WORDS: &[&str] = &[
    "bottom",
    "carton",
    "crushed",
    "film",
    "gate",
    "goods",
    "height",
    "label",
    "layer",
    "leaning",
    "loose",
    "overhang",
    "pallet",
    "panel",
    "plate",
    "roller",
    "roping",
    "settled",
    "shifted",
    "slack",
    "tail",
    "torn",
    "turns",
    "wrinkled",
    "zone",
    "damp",
    "dusty",
    "cold",
    "store",
    "re-stacked",
    "second",
    "shift",
];

/// Starts a book at `path` and fills it.
///
/// # Errors
/// There is a book already, or the book's errors.
pub fn make(path: &Path) -> anyhow::Result<()> {
    let (mut book, opened) = Book::open(path, OpenMode::OpenOrStart, Box::new(SystemClock))?;
    anyhow::ensure!(
        opened.started,
        "there is a book at {} already",
        path.display()
    );
    let mut maker = Maker {
        random: Seeded::new(0x7A75_7462_6F6F_6B21),
        now_ms: 1_514_800_800_000, // 2018-01-01, one visit a day and a half from there
        device: book.device(),
        made: RecordSet::default(),
    };
    for batch in 0..VISITS / BATCH {
        for visit in 0..BATCH {
            maker.visit(batch * BATCH + visit)?;
        }
        take_in(&mut book, &std::mem::take(&mut maker.made))?;
    }
    Ok(())
}

fn take_in(book: &mut Book, records: &RecordSet) -> Result<(), BookError> {
    book.import(records).map(|_| ())
}

struct Maker {
    random: Seeded,
    now_ms: i64,
    device: Uuid,
    made: RecordSet,
}

impl Maker {
    /// A record made a few seconds after the one before.
    fn record<T: Entity>(&mut self, body: T) -> Record<T> {
        self.now_ms += 4_000 + i64::try_from(self.random.below(4_000)).unwrap_or(0);
        let mut random = [0; 10];
        random[..8].copy_from_slice(&self.random.bits().to_le_bytes());
        let ms = u64::try_from(self.now_ms).unwrap_or(0);
        let id = uuid::Builder::from_unix_timestamp_millis(ms, &random).into_uuid();
        let now = self.now();
        Record {
            id: Id::from_uuid(id),
            created: now,
            changed: now,
            device: self.device,
            set_aside: None,
            body,
        }
    }

    fn now(&self) -> Moment {
        Moment::from_unix_ms(self.now_ms, -300).unwrap_or_default()
    }

    fn words(&mut self, count: usize) -> String {
        let words: Vec<&str> = (0..count).map(|_| *self.random.pick(WORDS)).collect();
        words.join(" ")
    }

    fn visit(&mut self, n: usize) -> Result<(), TypedError> {
        self.now_ms += 36 * 60 * 60 * 1_000;
        let customer = format!("{} {}", self.random.pick(FIRST), self.random.pick(SECOND));
        let rare = if n == VISITS / 2 { RARE_WORD } else { "" };
        let body = Visit {
            customer,
            site: (*self.random.pick(PLACES)).to_owned(),
            date: self.now().date_time().date_naive(),
            rep: "R. Moss".to_owned(),
            purpose: *self
                .random
                .pick(&[Purpose::Baseline, Purpose::FollowUp, Purpose::Trial]),
            bag: Vec::new(),
            safety: Vec::new(),
            notes: format!("{} {rare}", self.words(8)),
        };
        let visit = self.record(body);
        let id = visit.id;
        self.made.visits.push(visit);
        let mut setups = Vec::new();
        for name in ["Line 1", "Line 2"] {
            let line = self.record(Line::new(id, name));
            let mut setup = Setup::new(line.id, "As found", SetupRole::AsFound);
            setup.notes = self.words(4);
            let setup = self.record(setup);
            setups.push(setup.id);
            self.made.lines.push(line);
            self.made.setups.push(setup);
        }
        for load in 0..LOADS_A_VISIT {
            self.load(setups[load % setups.len()], load + 1)?;
        }
        for order in 0..PHOTOS_A_VISIT {
            self.photo(id, order);
        }
        Ok(())
    }

    fn load(&mut self, setup: Id<Setup>, number: usize) -> Result<(), TypedError> {
        let mut load = Load::new(setup, format!("Load {number}"));
        load.length = Some("48 in".parse()?);
        load.width = Some("40 in".parse()?);
        load.height = Some(format!("{} in", 50 + self.random.below(30)).parse()?);
        load.mass = Some(format!("{} lb", 800 + self.random.below(1_400)).parse()?);
        load.notes = self.words(5);
        let load = self.record(load);
        let id = load.id;
        self.made.loads.push(load);
        for order in 1..=READINGS_A_LOAD {
            let text = format!(
                "{} lb {} oz",
                5 + self.random.below(20),
                self.random.below(16)
            );
            let notes = match self.random.below(20) {
                0 => self.words(3),
                1 => format!("{} {COMMON_WORD}", self.words(2)),
                _ => String::new(),
            };
            let zone = [Zone::Top, Zone::Middle, Zone::Bottom][order % 3].clone();
            let reading = Reading {
                load: id,
                tool: None,
                zone,
                face: Some(*self.random.pick(&[Face::Front, Face::Right, Face::Back])),
                measure: Measure::new(MethodId::PullPlate, text.parse()?),
                order: u32::try_from(order).unwrap_or(1),
                taken_at: self.now(),
                who: "R. Moss".to_owned(),
                zeroed_at: None,
                minutes_since_wrapping: Some(5.0),
                film_temperature_celsius: None,
                notes,
            };
            let reading = self.record(reading);
            self.made.readings.push(reading);
        }
        Ok(())
    }

    fn photo(&mut self, visit: Id<Visit>, order: usize) {
        let of = self.made.loads[self.made.loads.len() - 1 - order % LOADS_A_VISIT].reference();
        let sha256 = (0..4)
            .map(|_| format!("{:016x}", self.random.bits()))
            .collect();
        let caption = if order.is_multiple_of(3) {
            format!("{} {COMMON_WORD}", self.words(3))
        } else {
            self.words(4)
        };
        let photo = Photo {
            visit,
            of,
            sha256,
            width_px: 1_600,
            height_px: 1_200,
            bytes: 300_000 + self.random.below(200_000),
            order: u32::try_from(order).unwrap_or(0),
            caption,
            taken_at: None,
            original: None,
        };
        let photo = self.record(photo);
        self.made.photos.push(photo);
    }
}
