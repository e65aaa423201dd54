//! Days of many representatives, invented, for what an office takes in: the same on every run.

use std::path::{Path, PathBuf};

use anyhow::Context;
use chrono::{Duration, NaiveDate};
use tautbook_core::photos::{PhotoFolder, Source, prepare};
use tautbook_core::survey::{
    Entity, Face, FilmRoll, FilmWeight, Id, Line, Load, LoadVolume, Measure, Moment, Photo,
    Purpose, Reading, Record, RecordSet, Setup, SetupRole, Visit, Zone,
};
use tautbook_core::units::MethodId;
use uuid::Uuid;

use crate::scene;
use crate::seeded::Seeded;

/// What a day holds.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    /// Loads on the day's two setups.
    pub loads: u32,
    /// Readings of each load.
    pub readings_a_load: u32,
}

/// A long day: a dozen loads with ten readings each.
pub const LONG: Size = Size {
    loads: 12,
    readings_a_load: 10,
};

/// One day of one representative: a visit with a line, two setups and their loads, every one weighed.
/// Customers come up again after 40 days.
///
/// # Errors
/// A value that cannot be written: none of these.
pub fn day(rep: u32, day: u32, size: Size) -> anyhow::Result<RecordSet> {
    let mut maker = Maker::new(rep, day);
    let customer = (rep * 40 + day % 40) % 997;
    let date = maker.now().date_time().date_naive();
    let visit = maker.record(Visit {
        customer: format!("Customer {customer}"),
        site: format!("Site {}", customer % 3),
        date,
        rep: format!("Rep {rep}"),
        purpose: [Purpose::Baseline, Purpose::FollowUp][usize::from(day >= 40)],
        bag: Vec::new(),
        safety: Vec::new(),
        notes: String::new(),
    });
    let mut film = FilmRoll::new(visit.id, "Film A");
    film.nominal_thickness = Some("80 gauge".parse()?);
    film.width = Some("20 in".parse()?);
    let film = maker.record(film);
    let mut line = Line::new(visit.id, "Line 1");
    line.volume = Some(LoadVolume::PerYear { loads: 60_000 });
    let line = maker.record(line);
    let mut set = RecordSet::default();
    for (role, name) in [
        (SetupRole::AsFound, "As found"),
        (SetupRole::Trial, "Fewer turns"),
    ] {
        let mut setup = Setup::new(line.id, name, role);
        setup.film_roll = Some(film.id);
        setup.settings.bottom_turns = Some(3.0);
        set.setups.push(maker.record(setup));
    }
    for n in 0..size.loads {
        let setup = set.setups[usize::from(n % 2 == 1)].id;
        maker.load(&mut set, setup, n, size)?;
    }
    set.visits.push(visit);
    set.film_rolls.push(film);
    set.lines.push(line);
    Ok(set)
}

/// The device of a representative.
#[must_use]
pub fn device(rep: u32) -> Uuid {
    Uuid::from_u64_pair(
        0x0198_4c00_0000_7000 + u64::from(rep),
        0x8000_0000_0000_00de,
    )
}

/// Gives the loads of a day so many pictures, as records and as files beside the book at `book`.
///
/// `jpeg` is one picture of the kind the app keeps; each file is that one with a comment of its own.
///
/// # Errors
/// What the file system says.
pub fn photograph(
    set: &mut RecordSet,
    book: &Path,
    count: u32,
    jpeg: &[u8],
) -> anyhow::Result<Vec<PathBuf>> {
    let (rep, day_number) = (900, 1);
    let mut maker = Maker::new(rep, day_number);
    let folder = PhotoFolder::beside(book);
    let visit = set.visits.first().context("a day has a visit")?.id;
    let mut files = Vec::new();
    for n in 0..count {
        let bytes = commented(jpeg, n);
        let sha256 = crate::day::sha256(&bytes);
        let path = folder.photo(&sha256).context("a sum")?;
        std::fs::create_dir_all(path.parent().context("a folder")?)?;
        std::fs::write(&path, &bytes)?;
        files.push(path);
        let of = set.loads[n as usize % set.loads.len()].reference();
        let photo = maker.record(Photo {
            visit,
            of,
            sha256,
            width_px: 2_560,
            height_px: 1_920,
            bytes: bytes.len() as u64,
            order: n,
            caption: format!("picture {n}"),
            taken_at: None,
            original: None,
        });
        set.photos.push(photo);
    }
    Ok(files)
}

/// A picture such as the app keeps, of about three megabytes.
///
/// # Errors
/// What taking it in says.
pub fn kept_picture() -> anyhow::Result<Vec<u8>> {
    let taken = scene::jpeg(4_000, 3_000, false);
    let options = tautbook_core::photos::Options {
        quality: 98,
        ..tautbook_core::photos::Options::default()
    };
    let picture = prepare(Source::Bytes(&taken), &options, &mut |_| {
        std::ops::ControlFlow::Continue(())
    })?;
    Ok(picture.jpeg().to_vec())
}

/// The JPEG with a comment (ITU-T T.81 B.2.4.5: marker FFFE and a length that counts itself) right
/// after its start.
fn commented(jpeg: &[u8], n: u32) -> Vec<u8> {
    let text = format!("{n:08}");
    let mut bytes = jpeg[..2].to_vec();
    bytes.extend([0xFF, 0xFE, 0, 10]);
    bytes.extend(text.as_bytes());
    bytes.extend(&jpeg[2..]);
    bytes
}

struct Maker {
    random: Seeded,
    now_ms: i64,
    device: Uuid,
}

impl Maker {
    fn new(rep: u32, day: u32) -> Self {
        let first = NaiveDate::from_ymd_opt(2024, 1, 1).unwrap_or_default();
        let date = first + Duration::days(i64::from(day));
        let nine = date.and_hms_opt(14, 0, 0).unwrap_or_default();
        Self {
            random: Seeded::new((u64::from(rep) << 32) | u64::from(day)),
            now_ms: nine.and_utc().timestamp_millis(),
            device: device(rep),
        }
    }

    fn now(&self) -> Moment {
        Moment::from_unix_ms(self.now_ms, -300).unwrap_or_default()
    }

    /// A record made a few seconds after the one before.
    fn record<T: Entity>(&mut self, body: T) -> Record<T> {
        self.now_ms += 4_000 + i64::try_from(self.random.below(4_000)).unwrap_or(0);
        let mut random = [0; 10];
        random[..8].copy_from_slice(&self.random.bits().to_le_bytes());
        let ms = u64::try_from(self.now_ms).unwrap_or(0);
        let now = self.now();
        Record {
            id: Id::from_uuid(uuid::Builder::from_unix_timestamp_millis(ms, &random).into_uuid()),
            created: now,
            changed: now,
            device: self.device,
            set_aside: None,
            body,
        }
    }

    fn load(
        &mut self,
        set: &mut RecordSet,
        setup: Id<Setup>,
        n: u32,
        size: Size,
    ) -> anyhow::Result<()> {
        let mut load = Load::new(setup, format!("Load {}", n + 1));
        load.length = Some("48 in".parse()?);
        load.width = Some("40 in".parse()?);
        load.height = Some(format!("{} in", 50 + self.random.below(30)).parse()?);
        load.mass = Some(format!("{} lb", 800 + self.random.below(1_400)).parse()?);
        let load = self.record(load);
        for order in 1..=size.readings_a_load {
            // Every fifth by the other tool.
            let method = MethodId::ALL[usize::from(order % 5 != 0)];
            let text = format!(
                "{} lb {} oz",
                5 + self.random.below(20),
                self.random.below(16)
            );
            let reading = Reading {
                load: load.id,
                tool: None,
                zone: [Zone::Top, Zone::Middle, Zone::Bottom][order as usize % 3].clone(),
                face: Some([Face::Front, Face::Right][order as usize % 2]),
                measure: Measure::new(method, text.parse()?),
                order,
                taken_at: self.now(),
                who: "R. Moss".to_owned(),
                zeroed_at: None,
                minutes_since_wrapping: Some(5.0),
                film_temperature_celsius: None,
                notes: String::new(),
            };
            let reading = self.record(reading);
            set.readings.push(reading);
        }
        let weight = FilmWeight {
            load: load.id,
            tool: None,
            gross: format!("{} g", 220 + self.random.below(60)).parse()?,
            tare: None,
            loads_together: 1,
            taken_at: self.now(),
            notes: String::new(),
        };
        let weight = self.record(weight);
        set.film_weights.push(weight);
        set.loads.push(load);
        Ok(())
    }
}
