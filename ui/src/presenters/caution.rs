//! Cautions that were read: once a day of a visit, or once for each line where they are about its
//! machine. What was locked out yesterday may run today.

use chrono::NaiveDate;
use tautbook_core::book::BookError;
use tautbook_core::say;
use tautbook_core::survey::{Caution, CautionKind, Id, Kind, Line, Moment, Record, Visit};

use crate::session::{Notice, NoticeAct, Session, Tone};

/// What a caution was read for: a visit, and a line of it where it is about the machine there.
type Of = (Id<Visit>, Option<Id<Line>>);

fn is_of((visit, line): Of, about: CautionKind, caution: &Caution) -> bool {
    caution.visit == visit && caution.about == about && (line.is_none() || caution.line == line)
}

/// The day of an instant, where it was noted.
pub(super) fn day(at: Moment) -> NaiveDate {
    at.date_time().date_naive()
}

/// A shift that goes on past midnight reads no caution twice: 6 h (common practice, no source).
const PAST_MIDNIGHT_MS: i64 = 6 * 3_600_000;

/// Whether what was read or locked out at one instant holds at another: on the same day, or a few hours
/// on.
pub(super) fn holds(since: Moment, at: Moment) -> bool {
    let on = at.unix_ms() - since.unix_ms();
    day(since) == day(at) || (0..PAST_MIDNIGHT_MS).contains(&on)
}

fn is_of_today(session: &Session, caution: &Caution) -> bool {
    holds(caution.acknowledged_at, session.book().now())
}

/// Today's acknowledgement of a caution on a visit, for its line where one is given, if there is one.
pub(super) fn acknowledged(
    session: &Session,
    of: Of,
    about: CautionKind,
) -> Result<Option<Record<Caution>>, BookError> {
    let cautions = session.book().children::<Caution, _>(of.0)?;
    Ok(cautions
        .into_iter()
        .rfind(|caution| is_of(of, about, caution) && is_of_today(session, caution)))
}

/// When somebody is named as having locked the machine of a line out.
pub(super) fn locked_out(session: &Session, of: Of) -> Result<Vec<Moment>, BookError> {
    let cautions = session.book().children::<Caution, _>(of.0)?;
    let locked = cautions.iter().filter(|caution| {
        is_of(of, CautionKind::Machine, caution) && !caution.isolated_by.trim().is_empty()
    });
    Ok(locked.map(|caution| caution.acknowledged_at).collect())
}

/// Notes that the caution was read, with its time; or takes that back, and offers to bring it back. Who locked
/// the machine out stands in what is brought back, and in what is read again at once.
pub(super) fn acknowledge(
    session: &mut Session,
    of: Of,
    about: CautionKind,
    read: bool,
) -> Result<(), BookError> {
    match (read, acknowledged(session, of, about)?) {
        (true, None) => {
            let taken_back = taken_back(session, of, about)?;
            let isolated_by = match &taken_back {
                Some(before) => before.isolated_by.clone(),
                None => String::new(),
            };
            let (visit, line) = of;
            session.book.act("acknowledge_caution", |act| {
                let acknowledged_at = act.now();
                act.add(Caution {
                    visit,
                    line,
                    about,
                    acknowledged_at,
                    isolated_by,
                })?;
                Ok(())
            })?;
            // Brought back too, it would be there twice.
            if taken_back.is_some() {
                session.close_notice();
            }
        }
        (false, Some(kept)) => {
            session.book.set_aside(kept.reference(), "taken back")?;
            session.say(Notice {
                tone: Tone::Info,
                text: say!(session.language(), "The caution counts as not read."),
                act: Some(NoticeAct::BringBack(kept.reference())),
            });
        }
        (true, Some(_)) | (false, None) => {}
    }
    Ok(())
}

/// The acknowledgement of that caution that is offered to be brought back, if there is one.
fn taken_back(
    session: &Session,
    of: Of,
    about: CautionKind,
) -> Result<Option<Record<Caution>>, BookError> {
    let offered = match session.notice().and_then(|notice| notice.act) {
        Some(NoticeAct::BringBack(offered)) if offered.kind == Kind::Caution => offered,
        _ => return Ok(None),
    };
    let before = session.book().find(Id::from_uuid(offered.id))?;
    Ok(before.filter(|caution: &Record<Caution>| {
        is_of(of, about, caution) && is_of_today(session, caution)
    }))
}
