//! Cautions that were read: once a visit, or once for each line where they are about its machine.

use tautbook_core::book::BookError;
use tautbook_core::say;
use tautbook_core::survey::{Caution, CautionKind, Id, Kind, Line, Record, Visit};

use crate::session::{Notice, NoticeAct, Session, Tone};

/// The acknowledgement of a caution on a visit, for its line where one is given, if there is one.
pub(super) fn acknowledged(
    session: &Session,
    (visit, line): (Id<Visit>, Option<Id<Line>>),
    about: CautionKind,
) -> Result<Option<Record<Caution>>, BookError> {
    let cautions = session.book().children::<Caution, _>(visit)?;
    Ok(cautions
        .into_iter()
        .find(|caution| caution.about == about && (line.is_none() || caution.line == line)))
}

/// Notes that the caution was read, with its time; or takes that back, and offers to bring it back. Who locked
/// the machine out stands in what is brought back, and in what is read again at once.
pub(super) fn acknowledge(
    session: &mut Session,
    (visit, line): (Id<Visit>, Option<Id<Line>>),
    about: CautionKind,
    read: bool,
) -> Result<(), BookError> {
    match (read, acknowledged(session, (visit, line), about)?) {
        (true, None) => {
            let before = taken_back(session, (visit, line), about)?;
            let offered = before.is_some();
            let isolated_by = before.map(|it| it.isolated_by.clone()).unwrap_or_default();
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
            // It would have it twice.
            if offered {
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
    (visit, line): (Id<Visit>, Option<Id<Line>>),
    about: CautionKind,
) -> Result<Option<Record<Caution>>, BookError> {
    let offered = match session.notice().and_then(|notice| notice.act) {
        Some(NoticeAct::BringBack(of)) if of.kind == Kind::Caution => of,
        _ => return Ok(None),
    };
    let before = session.book().find::<Caution>(Id::from_uuid(offered.id))?;
    Ok(before
        .filter(|it| it.visit == visit && it.about == about && (line.is_none() || it.line == line)))
}
