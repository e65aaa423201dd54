//! `tautbook`: the window on a book, and the desk commands over books and files of records.

#![forbid(unsafe_code)]

mod books;
mod cli;
mod demo;
mod files;
mod labels;
mod office;
mod paper;
mod recover;
mod schema;
mod show;
mod tables;
mod window;
mod workstation;

use std::io::Write as _;
use std::process::ExitCode;

use anyhow::Context as _;
use clap::Parser as _;

use cli::{Cli, Command};

/// How a command that could do its work ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Outcome {
    /// All is well.
    Fine,
    /// The work was done, and it found faults.
    Faults,
}

fn main() -> ExitCode {
    match run(Cli::parse()) {
        Ok(Outcome::Fine) => ExitCode::SUCCESS,
        Ok(Outcome::Faults) => ExitCode::from(1),
        Err(error) => {
            eprintln!("tautbook: {error:#}");
            ExitCode::from(1)
        }
    }
}

fn run(cli: Cli) -> anyhow::Result<Outcome> {
    let book = cli.book.as_deref();
    match cli.command.unwrap_or(Command::Open) {
        Command::Open => {
            let (book, opened) = books::open_or_start(book)?;
            window::open_window(book, &opened, None)?;
            Ok(Outcome::Fine)
        }
        Command::Demo { pictures, fresh } => {
            let (book, opened) = demo::demo_book(book, fresh)?;
            window::open_window(book, &opened, pictures.as_deref())?;
            Ok(Outcome::Fine)
        }
        Command::Show { visit, json } => show::command(book, visit.as_deref(), json),
        Command::Check => books::check(book),
        Command::Import {
            files,
            passphrase_file,
        } => files::import(book, &files, passphrase_file.as_deref()),
        Command::Export {
            visits,
            day,
            out,
            passphrase_file,
        } => files::export(
            book,
            &visits,
            day,
            out.as_deref(),
            passphrase_file.as_deref(),
        ),
        Command::Report {
            visit,
            out,
            paper,
            language,
        } => paper::report(book, &visit, &out, paper::Form { paper, language }),
        Command::Card {
            of,
            out,
            paper,
            language,
        } => paper::card(book, &of, &out, paper::Form { paper, language }),
        Command::Label {
            samples,
            out,
            paper,
            language,
        } => labels::label(book, &samples, &out, paper, language),
        Command::Find { what } => labels::find(book, &what),
        Command::Sites { json } => office::sites(book, json),
        Command::FollowUp { visit } => office::follow_up(book, &visit),
        Command::Recover { damaged, to } => recover::command(&damaged, &to),
        Command::Schema { of } => schema::command(of),
        Command::Tables { out } => tables::command(book, &out),
    }
}

/// Writes to standard output. A reader that has seen enough (`tautbook show | head`) is no error.
fn print(text: &str) -> anyhow::Result<()> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        written => written.context("the output could not be written"),
    }
}
