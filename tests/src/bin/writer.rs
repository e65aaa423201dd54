//! Works in a book as a rep does, and confirms each thing on standard output once the book has
//! said it is on disk. Made to be killed: `writer BOOK SEED MOST`.

use std::io::{Read, Write};
use std::path::Path;

use anyhow::{Context, Result};
use tautbook_core::book::{Act, Book, BookError, Done, OpenMode, SystemClock, Which};
use tautbook_core::survey::{
    Caution, CautionKind, Entity, FilmRoll, Id, Line, Load, Measure, Purpose, Reading, Record,
    RecordRef, RecordSet, Setup, SetupRole, Visit, Zone,
};
use tautbook_core::units::MethodId;
use tautbook_tests::kinds;
use tautbook_tests::log::{Confirmed, PLACE, place};
use tautbook_tests::seeded::Seeded;

type Touched = Vec<(RecordRef, serde_json::Value)>;

fn main() -> Result<()> {
    let mut arguments = std::env::args().skip(1);
    let usage = "writer BOOK SEED MOST";
    let path = arguments.next().context(usage)?;
    let seed = arguments.next().context(usage)?.parse()?;
    let most: u64 = arguments.next().context(usage)?.parse()?;
    let clock = Box::new(SystemClock);
    let (book, _) = Book::open(Path::new(&path), OpenMode::OpenOrStart, clock)?;
    let mut rep = Rep {
        place: place(&book),
        book,
        random: Seeded::new(seed),
        visit: None,
    };
    rep.visit = rep.book.all::<Visit>()?.last().map(|visit| visit.id);
    let mut done = 0;
    while done < most {
        if let Some(confirmed) = rep.do_something()? {
            confirm(&confirmed)?;
            done += 1;
        }
    }
    // Stay, so that the book is never closed in good order.
    std::io::stdin().read_to_end(&mut Vec::new())?;
    std::process::abort();
}

fn confirm(confirmed: &Confirmed) -> Result<()> {
    let mut out = std::io::stdout().lock();
    out.write_all(format!("{}\n", confirmed.line()).as_bytes())?;
    Ok(out.flush()?)
}

struct Rep {
    book: Book,
    random: Seeded,
    place: u64,
    visit: Option<Id<Visit>>,
}

impl Rep {
    /// Does one thing; `None` when there was nothing of that sort to do.
    fn do_something(&mut self) -> Result<Option<Confirmed>> {
        let Some(visit) = self.visit else {
            return self.start_visit();
        };
        let seen = self.book.visit_records(visit, Which::All)?;
        match self.random.below(20) {
            0 => self.start_visit(),
            1 => self.add_load(&seen),
            2 => self.fit_film(&seen),
            3 | 4 => self.edit_load(&seen),
            5 | 6 => self.edit_setup(&seen),
            7 => self.set_aside(&seen),
            8 => self.bring_back(&seen),
            9 | 10 => self.undo(),
            11 | 12 => self.remember(),
            _ => self.take_reading(&seen),
        }
    }

    fn act(
        &mut self,
        name: &'static str,
        work: impl FnOnce(&mut Act<'_>) -> Result<Touched, BookError>,
    ) -> Result<Option<Confirmed>> {
        let done: Done<Touched> = self.book.act(name, work)?;
        let records = done.value;
        Ok(done.action.map(|key| Confirmed::Action { key, records }))
    }

    fn words(&mut self) -> String {
        const WORDS: &[&str] = &[
            "gate",
            "près",
            "corner",
            "torn",
            "\u{1F4E6}",
            "bag 4",
            "lean",
        ];
        let word = self.random.pick(WORDS);
        format!("{word} {}", self.random.bits())
    }

    fn start_visit(&mut self) -> Result<Option<Confirmed>> {
        let customer = format!("Harrow Tile {}", self.words());
        let mut started = None;
        let confirmed = self.act("start_visit", |act| {
            let visit = act.add(Visit {
                customer,
                site: "Kiln Lane".to_owned(),
                date: act.now().date_time().date_naive(),
                rep: "R. Moss".to_owned(),
                purpose: Purpose::Baseline,
                bag: Vec::new(),
                safety: Vec::new(),
                notes: String::new(),
            })?;
            started = Some(visit.id);
            let line = act.add(Line::new(visit.id, "Line 1"))?;
            let setup = act.add(Setup::new(line.id, "As found", SetupRole::AsFound))?;
            let load = act.add(Load::new(setup.id, "Load 1"))?;
            let caution = act.add(Caution {
                visit: visit.id,
                line: None,
                about: CautionKind::Site,
                acknowledged_at: act.now(),
                isolated_by: String::new(),
            })?;
            Ok(vec![
                touched(&visit),
                touched(&line),
                touched(&setup),
                touched(&load),
                touched(&caution),
            ])
        })?;
        self.visit = started;
        Ok(confirmed)
    }

    fn add_load(&mut self, seen: &RecordSet) -> Result<Option<Confirmed>> {
        let name = format!("Load {}", seen.loads.len() + 1);
        let setup = seen.setups[0].id;
        self.act("add_load", |act| {
            Ok(vec![touched(&act.add(Load::new(setup, name))?)])
        })
    }

    fn take_reading(&mut self, seen: &RecordSet) -> Result<Option<Confirmed>> {
        let load = self.random.pick(&seen.loads).id;
        let ounces = self.random.below(16);
        let force = format!("{} lb {ounces} oz", 4 + self.random.below(20)).parse()?;
        let notes = if ounces < 3 {
            self.words()
        } else {
            String::new()
        };
        let order = u32::try_from(seen.readings.len() + 1)?;
        self.act("take_reading", |act| {
            let reading = act.add(Reading {
                load,
                tool: None,
                zone: Zone::Middle,
                face: None,
                measure: Measure::new(MethodId::PullPlate, force),
                order,
                taken_at: act.now(),
                who: "R. Moss".to_owned(),
                zeroed_at: None,
                minutes_since_wrapping: None,
                film_temperature_celsius: None,
                notes,
            })?;
            Ok(vec![touched(&reading)])
        })
    }

    fn fit_film(&mut self, seen: &RecordSet) -> Result<Option<Confirmed>> {
        let (visit, setup) = (seen.visits[0].id, seen.setups[0].id);
        let name = self.words();
        self.act("fit_film", |act| {
            let roll = act.add(FilmRoll::new(visit, name))?;
            let setup = act.change(setup, |setup| setup.film_roll = Some(roll.id))?;
            Ok(vec![touched(&roll), touched(&setup)])
        })
    }

    fn edit_load(&mut self, seen: &RecordSet) -> Result<Option<Confirmed>> {
        let load = self.random.pick(&seen.loads).id;
        let visit = seen.visits[0].id;
        let words = self.words();
        self.act("edit_load", |act| {
            let load = act.change(load, |load| {
                load.damage = words.clone();
                load.notes = words.clone();
            })?;
            let visit = act.change(visit, |visit| visit.notes = words)?;
            Ok(vec![touched(&load), touched(&visit)])
        })
    }

    fn edit_setup(&mut self, seen: &RecordSet) -> Result<Option<Confirmed>> {
        let setup = &seen.setups[0];
        let turns = setup.settings.bottom_turns.unwrap_or(0.0) + 0.5;
        let force = self.words();
        self.act("edit_setup", |act| {
            let setup = act.change(setup.id, |setup| {
                setup.settings.bottom_turns = Some(turns);
                setup.settings.film_force = force;
            })?;
            Ok(vec![touched(&setup)])
        })
    }

    fn set_aside(&mut self, seen: &RecordSet) -> Result<Option<Confirmed>> {
        let mut in_use = seen.readings.iter().filter(|one| one.set_aside.is_none());
        let (Some(first), Some(second)) = (in_use.next(), in_use.next()) else {
            return Ok(None);
        };
        let reason = self.words();
        self.act("set_aside", |act| {
            Ok(vec![
                touched(&act.set_aside(first.id, reason.clone())?),
                touched(&act.set_aside(second.id, reason)?),
            ])
        })
    }

    fn bring_back(&mut self, seen: &RecordSet) -> Result<Option<Confirmed>> {
        let mut aside = seen.readings.iter().filter(|one| one.set_aside.is_some());
        let Some(reading) = aside.next() else {
            return Ok(None);
        };
        self.act("bring_back", |act| {
            Ok(vec![touched(&act.bring_back(reading.id)?)])
        })
    }

    fn undo(&mut self) -> Result<Option<Confirmed>> {
        let actions = self.book.actions(3)?;
        let action = self.random.pick(&actions);
        if action.undone || action.name == "start_visit" {
            return Ok(None);
        }
        let done = match self.book.undo(action.key) {
            Err(BookError::ChangedSince { .. }) => return Ok(None),
            done => done?,
        };
        let Some(key) = done.action else {
            return Ok(None);
        };
        let mut records = Touched::new();
        for change in self.book.changes(key)? {
            let record = kinds::find(&self.book, change.record)?;
            records.push((change.record, record.context("it is there")?));
        }
        Ok(Some(Confirmed::Action { key, records }))
    }

    fn remember(&mut self) -> Result<Option<Confirmed>> {
        self.place += 1;
        self.book.set_state(PLACE, &self.place.to_string())?;
        Ok(Some(Confirmed::Place(self.place)))
    }
}

fn touched<T: Entity>(record: &Record<T>) -> (RecordRef, serde_json::Value) {
    (record.reference(), kinds::json(record))
}
