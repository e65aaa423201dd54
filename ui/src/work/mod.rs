//! Work that would hold up the screens: it goes on beside them, on a thread of its own.
//!
//! A thread never touches the session's book. It makes a picture ready and brings it to the disk;
//! recording what is there is done by the session, when the screens ask what has become of the work.
//! Day files and reports are made, and day files taken in, by a thread that opens the book for itself.

mod outgoing;
mod pictures;
mod taking_in;

use std::ops::ControlFlow;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};

use tautbook_core::label::read::Reading;
use tautbook_core::language::Language;
use tautbook_core::photos::{Kept, Mark, Options, PhotoError, PhotoFolder};
use tautbook_core::report;
use tautbook_core::survey::{Id, Photo, RecordRef, Visit};

pub(crate) use outgoing::{Holds, Outgoing, Sent, What};
pub(crate) use taking_in::{Refused, Taken};

/// What a picture is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum For {
    /// To be kept with a record.
    Record(RecordRef),
    /// To look for labels in it.
    Label,
    /// A day file to take in.
    DayFile,
}

/// What the platform answered.
#[derive(Debug)]
pub(crate) enum Answered {
    /// A file, and what it was asked for.
    File {
        wanted: For,
        file: Result<Option<PathBuf>, String>,
    },
    /// What it did with a file that was handed to it.
    Shared(Result<String, String>),
}

/// What a finished piece of work leaves to be recorded.
#[derive(Debug)]
pub(crate) enum Done {
    /// A picture is on disk.
    Taken {
        of: RecordRef,
        file: PathBuf,
        kept: Result<Kept, PhotoError>,
    },
    /// A copy with marks is on disk.
    Marked {
        original: Id<Photo>,
        kept: Result<Kept, String>,
    },
    /// A picture was looked at.
    Seen {
        file: PathBuf,
        read: Result<Reading, String>,
    },
    /// A day file to hand over is on disk.
    Written(Result<Sent, String>),
    /// Pages about a visit are on disk, made that way.
    Pages {
        visit: Id<Visit>,
        options: report::Options,
        made: Result<Sent, String>,
    },
    /// A day file was taken in.
    Merged(Result<Taken, Refused>),
}

/// How a piece of work says how far it is, 0 to 1, and hears whether to go on.
type Tell<'t> = dyn FnMut(f32) -> ControlFlow<()> + 't;

/// What a piece of work is about: the screen that asked for it shows it and stops it, and no other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum About {
    /// Pictures, taken in or marked.
    Pictures,
    /// A picture that is looked through for labels.
    Labels,
    /// A day file, written or taken in.
    DayFile,
    /// Pages about a visit.
    Pages(Id<Visit>),
}

/// A piece of work under way.
struct Job {
    number: u64,
    about: About,
    permille: Arc<AtomicU32>,
    stop: Arc<AtomicBool>,
}

/// What a piece of work leaves, and its number.
type Numbered = (u64, Done);

/// The work that goes on beside the screens.
pub(crate) struct Work {
    /// What went wrong is said in it.
    pub(crate) language: Language,
    jobs: Vec<Job>,
    /// How many were started: the number of the last.
    started: u64,
    asked: usize,
    /// Ends with the day file that is taken in last.
    merging: Option<Receiver<()>>,
    /// A file is being handed to the platform.
    shares: bool,
    done: (Sender<Numbered>, Receiver<Numbered>),
    answers: (Sender<Answered>, Receiver<Answered>),
}

impl Default for Work {
    fn default() -> Self {
        Self {
            language: Language::default(),
            jobs: Vec::new(),
            started: 0,
            merging: None,
            asked: 0,
            shares: false,
            done: channel(),
            answers: channel(),
        }
    }
}

impl Work {
    /// Whether something is under way or an answer of the platform is awaited.
    pub(crate) fn is_awaited(&self) -> bool {
        !self.jobs.is_empty() || self.asked > 0 || self.shares
    }

    /// How far the pieces of work about something are, 0 to 1; `None` when there are none.
    pub(crate) fn share(&self, about: About) -> Option<f32> {
        let (mut sum, mut all) = (0, 0);
        for job in self.jobs.iter().filter(|job| job.about == about) {
            sum += job.permille.load(Ordering::Relaxed).min(1_000);
            all += 1_000;
        }
        #[allow(clippy::cast_precision_loss)] // A share to show.
        (all > 0).then(|| sum as f32 / all as f32)
    }

    /// What gives the platform's answer back.
    pub(crate) fn answer_to(&mut self, wanted: For) -> crate::device::FileAnswer {
        self.asked += 1;
        let answers = self.answers.0.clone();
        Box::new(move |file| {
            let _ = answers.send(Answered::File { wanted, file }); // Nobody waits for it once the app ends.
        })
    }

    /// What gives the platform's answer to a file that is handed to it back; `None` while another is.
    pub(crate) fn answer_to_share(&mut self) -> Option<crate::device::ShareAnswer> {
        if std::mem::replace(&mut self.shares, true) {
            return None;
        }
        let answers = self.answers.0.clone();
        Some(Box::new(move |said| {
            let _ = answers.send(Answered::Shared(said));
        }))
    }

    /// Takes in a picture. `mark` is there while it is read.
    pub(crate) fn take_in(
        &mut self,
        of: RecordRef,
        (file, mark): (PathBuf, Option<PathBuf>),
        folder: PhotoFolder,
        options: Options,
    ) {
        self.start(About::Pictures, move |tell| Done::Taken {
            of,
            kept: pictures::take_in((&file, mark.as_deref()), &folder, &options, tell),
            file,
        });
    }

    /// Draws marks on a copy of a picture.
    pub(crate) fn mark(
        &mut self,
        original: (Id<Photo>, String),
        marks: Vec<Mark>,
        folder: PhotoFolder,
        options: Options,
    ) {
        let (id, sha256) = original;
        let language = self.language;
        self.start(About::Pictures, move |tell| Done::Marked {
            original: id,
            kept: pictures::draw(&sha256, &marks, &folder, &options, language, tell),
        });
    }

    /// Looks for labels in a picture.
    pub(crate) fn look_for_labels(&mut self, file: PathBuf) {
        let language = self.language;
        self.start(About::Labels, move |tell| Done::Seen {
            read: pictures::look(&file, language, tell),
            file,
        });
    }

    /// Writes a file to hand over.
    pub(crate) fn write(&mut self, outgoing: Outgoing) {
        let language = self.language;
        match outgoing.what {
            What::Day { .. } => {
                self.start(About::DayFile, move |tell| {
                    Done::Written(outgoing.write(language, tell))
                });
            }
            What::Report(visit, options) | What::Card(visit, _, options) => {
                self.start(About::Pages(visit), move |tell| Done::Pages {
                    visit,
                    options,
                    made: outgoing.write(language, tell),
                });
            }
        }
    }

    /// Takes a day file into the book at `book`, once those before it are.
    pub(crate) fn merge(&mut self, book: PathBuf, file: PathBuf, passphrase: Option<String>) {
        let language = self.language;
        let (ended, ends) = channel::<()>();
        let before = self.merging.replace(ends);
        self.start(About::DayFile, move |tell| {
            // Nothing is ever sent: it ends with the work before, however that did.
            if let Some(before) = before {
                let _ = before.recv();
            }
            let taken = taking_in::take_in(&book, &file, passphrase.as_deref(), language, tell);
            drop(ended);
            Done::Merged(taken)
        });
    }

    fn start(&mut self, about: About, work: impl FnOnce(&mut Tell<'_>) -> Done + Send + 'static) {
        self.started += 1;
        let number = self.started;
        let permille = Arc::new(AtomicU32::new(0));
        let stop = Arc::new(AtomicBool::new(false));
        let done = self.done.0.clone();
        self.jobs.push(Job {
            number,
            about,
            permille: permille.clone(),
            stop: stop.clone(),
        });
        std::thread::spawn(move || {
            let outcome = work(&mut |share| {
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 1000.
                permille.store((share * 1_000.0) as u32, Ordering::Relaxed);
                if stop.load(Ordering::Relaxed) {
                    ControlFlow::Break(())
                } else {
                    ControlFlow::Continue(())
                }
            });
            let _ = done.send((number, outcome)); // Nobody waits for it once the app ends.
        });
    }

    /// Calls off what is under way about something. What is on disk already stays there unrecorded;
    /// nothing half done does.
    pub(crate) fn call_off(&mut self, about: About) {
        for job in self.jobs.iter().filter(|job| job.about == about) {
            job.stop.store(true, Ordering::Relaxed);
        }
    }

    /// The next answer of the platform that came in.
    pub(crate) fn next_answer(&mut self) -> Option<Answered> {
        let answer = self.answers.1.try_recv().ok()?;
        match answer {
            Answered::File { .. } => self.asked = self.asked.saturating_sub(1),
            Answered::Shared(_) => self.shares = false,
        }
        Some(answer)
    }

    /// The next piece of work that was finished.
    pub(crate) fn next_done(&mut self) -> Option<Done> {
        let (number, done) = self.done.1.try_recv().ok()?;
        self.jobs.retain(|job| job.number != number);
        Some(done)
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;

    fn made(name: &str) -> Done {
        Done::Written(Err(name.to_owned()))
    }

    fn waited(work: &mut Work) -> String {
        for _ in 0..1_000 {
            if let Some(Done::Written(Err(name))) = work.next_done() {
                return name;
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        panic!("still at work");
    }

    /// Goes on until it is called off.
    fn endless(work: &mut Work, about: About, name: &'static str) {
        work.start(about, move |tell| {
            while tell(0.9).is_continue() {
                std::thread::sleep(Duration::from_millis(1));
            }
            made(name)
        });
        while work.share(about).is_none_or(|share| share < 0.8) {
            std::thread::sleep(Duration::from_millis(1));
        }
    }

    #[test]
    fn what_is_done_leaves_the_rest_to_be_called_off() {
        let mut work = Work::default();
        endless(&mut work, About::DayFile, "far");
        work.start(About::DayFile, |_| made("soon"));
        assert_eq!(waited(&mut work), "soon");
        assert!(work.share(About::DayFile).unwrap() > 0.8);
        work.call_off(About::DayFile);
        assert_eq!(waited(&mut work), "far");
        assert!(!work.is_awaited());
    }

    #[test]
    fn each_is_shown_and_called_off_by_its_own() {
        let visit = Id::from_uuid(uuid::Uuid::from_u128(1));
        let mut work = Work::default();
        endless(&mut work, About::DayFile, "day");
        endless(&mut work, About::Pages(visit), "pages");
        assert_eq!(work.share(About::Labels), None);
        work.call_off(About::Labels);
        work.call_off(About::Pages(visit));
        assert_eq!(waited(&mut work), "pages");
        assert_eq!(work.share(About::Pages(visit)), None);
        assert!(work.share(About::DayFile).is_some(), "it goes on");
        work.call_off(About::DayFile);
        assert_eq!(waited(&mut work), "day");
    }
}
