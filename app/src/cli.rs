//! What can be typed.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};

use crate::labels::LabelPaper;
use crate::paper::{In, Paper};

const EXAMPLES: &str = "\
Examples:
  tautbook                                   open the window on your own book
  tautbook demo                              open it on a book of sample surveys
  tautbook import monday.zip                 take a day file into your book
  tautbook show latest                       print the latest visit
  tautbook show latest --json                the same for a program, units in every name
  tautbook report latest --out report.pdf     make the customer's report of it
  tautbook check --book office.taut          verify a book from end to end
  tautbook recover bad.taut --to good.taut   save what a damaged book still holds

Exit codes:
  0  done
  1  it could not be done, or faults were found; the reason is on standard error
  2  the command line was not understood

Your own book is tautbook/book.taut in your data folder ($XDG_DATA_HOME, else ~/.local/share).";

/// The field book of a stretch-film representative.
#[derive(Debug, Parser)]
#[command(name = "tautbook", version, about, after_help = EXAMPLES)]
pub(crate) struct Cli {
    /// The book to work on, instead of your own
    #[arg(long, global = true, value_name = "PATH")]
    pub(crate) book: Option<PathBuf>,

    #[command(subcommand)]
    pub(crate) command: Option<Command>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Open the window (what happens without a command)
    #[command(after_help = "Examples:\n  tautbook open\n  tautbook open --book office.taut")]
    Open,
    /// Open the window on a book of sample surveys of its own
    #[command(after_help = "Examples:
  tautbook demo
  tautbook demo --fresh
  tautbook demo --pictures screens

The sample book is tautbook/demo.taut in your data folder; --book keeps it elsewhere.")]
    Demo {
        /// Write pictures of the main screens to this folder
        #[arg(long, value_name = "DIR")]
        pictures: Option<PathBuf>,
        /// Start the sample book again; the old one is moved aside
        #[arg(long)]
        fresh: bool,
    },
    /// List the visits, or print one
    #[command(after_help = "Examples:
  tautbook show
  tautbook show latest
  tautbook show 019cdc0a --json")]
    Show {
        /// A visit's id, the beginning of it, or `latest`
        visit: Option<String>,
        /// Print JSON: the whole record and every result (see `tautbook schema show`)
        #[arg(long)]
        json: bool,
    },
    /// Verify a book from end to end; changes nothing
    #[command(after_help = "Examples:\n  tautbook check\n  tautbook check --book office.taut")]
    Check,
    /// Take in day files and files of records, each all or nothing
    #[command(after_help = "Examples:
  tautbook import monday.zip tuesday.zip
  tautbook import from-the-reps --book office.taut
  tautbook import monday.zip.age --passphrase-file secret.txt
  tautbook import sample-surveys/*.json --book try.taut

A day file is verified whole before anything is changed, and merged field by field with what the
book holds; taking it in again changes nothing.")]
    Import {
        /// Day files, files of records, or folders of them
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
        /// A file with the passphrase of locked day files as its first line
        #[arg(long, value_name = "FILE")]
        passphrase_file: Option<PathBuf>,
    },
    /// Write visits as one day file, or one visit as a file of records
    #[command(after_help = "Examples:
  tautbook export latest --out monday.zip
  tautbook export 019cdc0a 019d2582 --out two-visits.zip
  tautbook export --day 2026-03-11 --out wednesday.zip
  tautbook export latest --out monday.zip.age --passphrase-file secret.txt
  tautbook export latest --out visit.json
  tautbook export 019cdc0a > visit.json

The ending of --out says what is written: .zip a day file with records, history, pictures and
tables; .age the same, locked; .json the records of one visit alone.")]
    Export {
        /// Visits: an id, the beginning of it, or `latest`
        #[arg(value_name = "VISIT", required_unless_present = "day")]
        visits: Vec<String>,
        /// All visits of a day, such as 2026-03-11
        #[arg(long, value_name = "DATE", conflicts_with = "visits")]
        day: Option<chrono::NaiveDate>,
        /// The file to write; without it the records of one visit go to standard output
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
        /// A file with the passphrase to lock the day file with as its first line
        #[arg(long, value_name = "FILE")]
        passphrase_file: Option<PathBuf>,
    },
    /// Make the customer's report of a visit, as PDF
    #[command(after_help = "Examples:
  tautbook report latest --out report.pdf
  tautbook report 019cdc0a --out informe.pdf --paper a4 --language es

Forces and masses are in the units the visit was written in. A file that is there already is left
as it is. When a picture's file is missing, the report says so in its place and the exit code is 1.")]
    Report {
        /// A visit's id, the beginning of it, or `latest`
        visit: String,
        /// The file to write
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
        /// The paper
        #[arg(long, value_enum, default_value_t = Paper::Letter)]
        paper: Paper,
        /// The language
        #[arg(long, value_enum, default_value_t = In::En)]
        language: In,
    },
    /// Make the card that stays at the machine: which way up the roll goes, as PDF
    #[command(after_help = "Examples:
  tautbook card latest --out card.pdf
  tautbook card \"Hall 2\" --out carte.pdf --paper a4 --language fr")]
    Card {
        /// A line's name, its id or the beginning of it; or a visit as for `report`, for its first
        /// line
        #[arg(value_name = "LINE-OR-VISIT")]
        of: String,
        /// The file to write
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
        /// The paper
        #[arg(long, value_enum, default_value_t = Paper::Letter)]
        paper: Paper,
        /// The language
        #[arg(long, value_enum, default_value_t = In::En)]
        language: In,
    },
    /// Make the labels of kept samples, as PDF or PNG at true size
    #[command(after_help = "Examples:
  tautbook label J8VK-EGMF --out label.pdf
  tautbook label 019cdc0a 019d2582 --out sheet.pdf --paper letter
  tautbook label J8VK-EGMF --out etiqueta.png --language es")]
    Label {
        /// Samples: a short code, an id or the beginning of one
        #[arg(required = true, value_name = "SAMPLE")]
        samples: Vec<String>,
        /// The file to write, ending in .pdf or .png
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
        /// The paper
        #[arg(long, value_enum, default_value_t = LabelPaper::FourBySix)]
        paper: LabelPaper,
        /// The language
        #[arg(long, value_enum, default_value_t = In::En)]
        language: In,
    },
    /// Find the record of a kept sample by a picture of its label or by the code under the square
    #[command(after_help = "Examples:
  tautbook find photo.jpg
  tautbook find J8VK-EGMF --book office.taut

A label whose sample is not in the book says which day file to ask for; the exit code is then 1.")]
    Find {
        /// A picture of the label, or its short code
        #[arg(value_name = "PICTURE-OR-CODE")]
        what: String,
    },
    /// List customers and sites: visits, readings, samples, film saved, what is open
    #[command(after_help = "Examples:
  tautbook sites --book office.taut
  tautbook sites --json

Film saved in a year is an estimate from the weighings of each line, with its limits at 95 %.")]
    Sites {
        /// Print JSON (see `tautbook schema sites`)
        #[arg(long)]
        json: bool,
    },
    /// Lay each line of a visit beside the visit before: what was proposed, what is set, what changed
    #[command(
        name = "follow-up",
        after_help = "Examples:
  tautbook follow-up latest
  tautbook follow-up 019cdc0a --book office.taut

A line is the same line when it says so, or has the same name at the same customer and site. Only
readings by one method, on faces of one length, are compared."
    )]
    FollowUp {
        /// A visit's id, the beginning of it, or `latest`
        visit: String,
    },
    /// Save every record that can still be read out of a damaged book into a new one
    #[command(after_help = "Example:
  tautbook recover bad.taut --to good.taut

The damaged book is only read. What could not be saved is listed, and the exit code is then 1.")]
    Recover {
        /// The damaged book
        damaged: PathBuf,
        /// The new book; there must be no file of that name yet
        #[arg(long, value_name = "NEW")]
        to: PathBuf,
    },
    /// Write readings, loads, setups and savings of a book as Parquet files
    #[command(after_help = "Example:
  tautbook tables --book office.taut --out tables

Writes readings.parquet, loads.parquet, setups.parquet and savings.parquet into the folder, in place
of those of an earlier run. Only what is in use is in them. Column names end in their unit (_n newtons, _m metres,
_kg kilograms); times are in UTC, ids are text. Readings by the torsion tool and by the pull plate
have columns of their own: they are never one figure. Savings are estimated from the weighings, with
their limits at the confidence beside them.")]
    Tables {
        /// The folder
        #[arg(long, value_name = "DIR")]
        out: PathBuf,
    },
    /// Print the JSON Schema of what `show --json` prints, of files of records, or of day files
    #[command(after_help = "Examples:\n  tautbook schema show\n  tautbook schema manifest")]
    Schema {
        /// Which one
        #[arg(value_enum, default_value_t = SchemaOf::Show)]
        of: SchemaOf,
    },
}

/// What there is a schema of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum SchemaOf {
    /// What `show VISIT --json` prints
    Show,
    /// Files of records, and `records.json` in day files
    Records,
    /// `history.json` in day files
    History,
    /// `manifest.json` in day files
    Manifest,
    /// What `sites --json` prints
    Sites,
}
