//! Stand-ins for lost records that others belong to, so that those others are not lost with them.
//!
//! A reading whose load is lost hangs on a stand-in load. Where an index of the damaged book still
//! tells what the lost record belonged to, the stand-in belongs there too; else it hangs on a
//! visit, line or setup made for all such. Stand-ins carry the oldest time there is: the real
//! record, taken in later from another copy, takes their place.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::Here;
use crate::book::history::for_kind;
use crate::survey::{
    Entity, FilmRoll, Id, Kind, Line, Load, Moment, Record, RecordRef, RecordSet, Setup, SetupRole,
    Visit,
};

const NAME: &str = "Lost record (stand-in)";

/// Makes stand-ins for every lost visit, line, film roll, setup and load that a record of the set
/// belongs to. `belonged` is what is still known of lost records: whose they were.
pub(super) fn add_stand_ins(
    set: &mut RecordSet,
    belonged: &BTreeMap<Uuid, Uuid>,
    now: Moment,
    device: Uuid,
) -> Vec<RecordRef> {
    let mut maker = Maker {
        belonged,
        now,
        device,
        shared: BTreeMap::new(),
        made: Vec::new(),
    };
    // From what belongs to others up to what others belong to: a stand-in may need one itself.
    for kind in Kind::ALL.iter().rev() {
        let mut missing = BTreeSet::new();
        for_kind!(*kind, lost_parents(set, &mut missing));
        for lost in missing {
            maker.make(set, lost);
        }
    }
    maker.made
}

/// The records that records of a kind must belong to and that are not there.
fn lost_parents<T: Entity>(set: &mut RecordSet, missing: &mut BTreeSet<RecordRef>) {
    let mut here = Here::default();
    let Ok(()) = set.visit_kinds(&mut here);
    let Some(records) = set.list_mut::<T>() else {
        return;
    };
    for record in records {
        for (parent, id) in T::KIND.parents().iter().zip(record.body.parents()) {
            let named = id.map(|id| RecordRef {
                kind: parent.kind,
                id,
            });
            if parent.required
                && let Some(named) = named
                && !here.all.contains(&named)
            {
                missing.insert(named);
            }
        }
    }
}

struct Maker<'a> {
    belonged: &'a BTreeMap<Uuid, Uuid>,
    now: Moment,
    device: Uuid,
    shared: BTreeMap<Kind, Uuid>,
    made: Vec<RecordRef>,
}

impl Maker<'_> {
    fn make(&mut self, set: &mut RecordSet, lost: RecordRef) {
        let parent = |maker: &mut Self, kind| match maker.belonged.get(&lost.id) {
            Some(id) => *id,
            None => *maker.shared.entry(kind).or_insert_with(Uuid::new_v4),
        };
        match lost.kind {
            Kind::Visit => {
                let visit = Visit {
                    customer: NAME.to_owned(),
                    site: String::new(),
                    date: self.now.date_time().date_naive(),
                    rep: String::new(),
                    purpose: crate::survey::Purpose::default(),
                    bag: Vec::new(),
                    safety: Vec::new(),
                    notes: "This visit was lost in a damaged book. What belonged to it is here."
                        .to_owned(),
                };
                set.visits.push(self.record(lost, visit));
            }
            Kind::Line => {
                let visit = Id::from_uuid(parent(self, Kind::Visit));
                set.lines.push(self.record(lost, Line::new(visit, NAME)));
            }
            Kind::FilmRoll => {
                let visit = Id::from_uuid(parent(self, Kind::Visit));
                let roll = FilmRoll::new(visit, NAME);
                set.film_rolls.push(self.record(lost, roll));
            }
            Kind::Setup => {
                let line = Id::from_uuid(parent(self, Kind::Line));
                let setup = Setup::new(line, NAME, SetupRole::default());
                set.setups.push(self.record(lost, setup));
            }
            Kind::Load => {
                let setup = Id::from_uuid(parent(self, Kind::Setup));
                set.loads.push(self.record(lost, Load::new(setup, NAME)));
            }
            // Nothing can be said in their place: what belongs to them is listed as lost.
            _ => {}
        }
    }

    fn record<T: Entity>(&mut self, of: RecordRef, body: T) -> Record<T> {
        self.made.push(of);
        Record {
            id: Id::from_uuid(of.id),
            created: Moment::default(),
            changed: Moment::default(),
            device: self.device,
            set_aside: None,
            body,
        }
    }
}
