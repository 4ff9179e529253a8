//! The command line: what it accepts, and which command answers.
//!
//! [`run`] reads the arguments and hands over to one file a command: `plan`, `check`, `positions`, `almanac`,
//! `arrange`, `convert`. `positions` and `almanac` answer row by row through `rows`. Every command gives back an [`Outcome`], which is the exit status.

mod almanac;
mod arrange;
mod check;
mod convert;
mod elements;
mod outcome;
mod plan;
mod positions;
mod rows;

use std::ffi::OsString;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand, ValueEnum, value_parser};
use evenfall_core::output::pdf::Paper;

pub use outcome::{Outcome, tell};

use crate::shell::files::read_text;

/// Prepares a public observing night: what to show, when, through which port, and the pages to print.
///
/// Without a command it opens the window, on an evening or on the demo of Heron Fell.
#[derive(Debug, Parser)]
#[command(name = "evenfall", version, after_help = EXIT_WORDS, args_conflicts_with_subcommands = true)]
struct Arguments {
    /// The evening to open the window on
    #[arg(value_name = "EVENING.ron")]
    evening: Option<PathBuf>,
    #[command(subcommand)]
    command: Option<Command>,
}

const EXIT_WORDS: &str = "Exit status: 0 done; 1 the input was read but holds errors, all of them listed; \
                          2 wrong usage; 3 the machine failed (disk full, no permission).";

#[derive(Debug, Subcommand)]
enum Command {
    /// Lay out an evening and write its pages and tables.
    #[command(after_help = plan::EXAMPLE)]
    Plan(PlanArguments),
    /// Read files of any supported format and list every error, Stopper and Caution.
    #[command(after_help = check::EXAMPLE)]
    Check(CheckArguments),
    /// Answer where bodies and stars stand, row by row: JSON in on standard input, JSON out.
    #[command(after_help = positions::EXAMPLE)]
    Positions,
    /// Answer when bodies and stars rise, set and transit and when twilight comes, night by night: JSON in, JSON out.
    #[command(after_help = almanac::EXAMPLE)]
    Almanac,
    /// Arrange an evening given as numbers (format evening-schedule/1): a problem in JSON in, the best running order out.
    #[command(after_help = arrange::EXAMPLE)]
    Arrange(ArrangeArguments),
    /// Turn a list of targets (a table in CSV, plain coordinates, a `VOTable`) into a catalogue.
    #[command(after_help = convert::EXAMPLE)]
    Convert(ConvertArguments),
}

/// The paper of the pages.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum PaperChoice {
    /// 210 by 297 mm
    A4,
    /// 8.5 by 11 inches
    Letter,
    /// Every page twice
    Both,
}

impl PaperChoice {
    const fn papers(self) -> &'static [Paper] {
        match self {
            Self::A4 => &[Paper::A4],
            Self::Letter => &[Paper::Letter],
            Self::Both => &Paper::ALL,
        }
    }
}

/// What `plan` accepts. With none of the outputs named, all are written but the evening as numbers.
#[derive(Debug, Args)]
#[expect(clippy::struct_excessive_bools, reason = "one flag an output, as people type them")]
struct PlanArguments {
    /// The evening; without it, the demo of Heron Fell
    #[arg(value_name = "EVENING.ron")]
    evening: Option<PathBuf>,
    /// The folder to write into; made if it is not there
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// The paper of all pages, which is named in their files
    #[arg(long, value_enum, default_value = "a4")]
    paper: PaperChoice,
    /// Write the evening as numbers for a solver (NAME.problem.json), as `arrange` reads it; only when named
    #[arg(long)]
    problem: bool,
    /// Write the running order for other programs (running-order.json)
    #[arg(long)]
    json: bool,
    /// Write the operators' run sheet (run-sheet-a4.pdf)
    #[arg(long)]
    run_sheet: bool,
    /// Write the visitors' handbill, plain, in large print and in easy words (handbill-a4.pdf,
    /// handbill-large-print-a4.pdf, handbill-easy-words-a4.pdf)
    #[arg(long)]
    handbill: bool,
    /// Write the poster for the entrance (door-card-a4.pdf)
    #[arg(long)]
    door_card: bool,
    /// Write the cards of the crew: call, cloud, host, queue, captions, hand-over, cautions, night report
    #[arg(long)]
    cards: bool,
    /// Write the calendars of crew and visitors (evening-crew.ics, evening-visitors.ics). What has changed since the
    /// calendar that stands in DIR is numbered as a change, and what is gone is cancelled
    #[arg(long)]
    calendar: bool,
    /// Write the grounds for a map (site-plan.geojson)
    #[arg(long)]
    site_plan: bool,
    /// Write the running order as a table (running-order.csv)
    #[arg(long)]
    csv: bool,
    /// Write the timeline as a picture, in lines and in dots (timeline.svg, timeline.png)
    #[arg(long)]
    picture: bool,
}

#[derive(Debug, Args)]
struct ArrangeArguments {
    /// Units of work for the search, about a microsecond each; as many again for the bound. The same effort gives the
    /// same answer on every machine
    #[arg(long, value_name = "N", default_value_t = arrange::USUAL_EFFORT)]
    effort: u64,
}

#[derive(Debug, Args)]
struct ConvertArguments {
    /// The list: CSV, one pair of coordinates a line, or `VOTable`; or elements of satellites and comets; at most 512 MB
    #[arg(value_name = "LIST.csv")]
    list: PathBuf,
    /// A catalogue into which the list is put: what it says stays, only what it lacks is taken over. Without --to or
    /// --replace it is only shown what would come of that
    #[arg(long, value_name = "CATALOGUE.ron")]
    into: Option<PathBuf>,
    /// The catalogue to write
    #[arg(long, value_name = "CATALOGUE.ron", required_unless_present_any = ["show_mapping", "into"])]
    to: Option<PathBuf>,
    /// Of the targets that are new, take only so many, the brightest: for a list that is longer than a catalogue may be
    #[arg(long, value_name = "N", value_parser = value_parser!(u32).range(1..=2_000_000))]
    brightest: Option<u32>,
    /// How the list is read, where a guess was wrong
    #[arg(long, value_name = "MAPPING.ron")]
    mapping: Option<PathBuf>,
    /// Give the mapping that was used, to be corrected and kept
    #[arg(long)]
    show_mapping: bool,
    /// Write over a catalogue that is there already: that of --to, else that of --into. What it held is kept in the folder
    /// earlier-saves beside it
    #[arg(long)]
    replace: bool,
}

#[derive(Debug, Args)]
struct CheckArguments {
    /// Evenings, sites, rigs and catalogues
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
    /// Also go through each evening in the dry: every move, the longest, what would stop the night
    #[arg(long)]
    dry_run: bool,
}

/// Opens the window, unless what it shall open on can't be read: that may be a mistyped command.
fn open_window_on(evening: Option<PathBuf>, open_window: impl FnOnce(Option<PathBuf>) -> Outcome) -> Outcome {
    if let Some(Err(error)) = evening.as_deref().map(read_text) {
        tell(&format!("{error}. For the commands: evenfall --help"));
        return Outcome::from(&error);
    }
    open_window(evening)
}

/// Answers the arguments of the program; without a command, by `open_window`.
pub fn run(
    arguments: impl IntoIterator<Item = OsString>,
    open_window: impl FnOnce(Option<PathBuf>) -> Outcome,
) -> ExitCode {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => {
            let outcome = if error.use_stderr() { Outcome::WrongUsage } else { Outcome::Done };
            // Help that nobody reads any more (a closed pipe) is no failure.
            let _ = error.print();
            return outcome.into();
        }
    };
    let outcome = match arguments.command {
        None => open_window_on(arguments.evening, open_window),
        Some(Command::Plan(arguments)) => plan::run(&arguments),
        Some(Command::Check(arguments)) => check::run(&arguments.files, arguments.dry_run),
        Some(Command::Positions) => rows::answer_all(positions::answer),
        Some(Command::Almanac) => rows::answer_all(almanac::answer),
        Some(Command::Arrange(arguments)) => arrange::run(arguments.effort),
        Some(Command::Convert(arguments)) => convert::run(&arguments),
    };
    outcome.into()
}

#[cfg(test)]
mod tests {
    use clap::{CommandFactory, Parser};

    use super::Arguments;

    #[test]
    fn the_arguments_hold_together_and_each_command_shows_an_example() {
        let mut all = Arguments::command();
        all.clone().debug_assert();
        for command in all.get_subcommands_mut() {
            let help = command.render_long_help().to_string();
            assert!(help.contains("evenfall ") && help.contains("Example"), "{help}");
        }
    }

    #[test]
    fn a_file_without_a_command_is_the_evening_to_open() {
        let evening = |arguments: &[&str]| Arguments::try_parse_from(arguments).map(|parsed| parsed.evening);
        assert_eq!(evening(&["evenfall"]).unwrap(), None);
        assert_eq!(evening(&["evenfall", "my.evening.ron"]).unwrap(), Some("my.evening.ron".into()));
        assert_eq!(evening(&["evenfall", "check", "my.evening.ron"]).unwrap(), None);
        assert!(evening(&["evenfall", "my.evening.ron", "check", "other.ron"]).is_err());
        assert!(evening(&["evenfall", "one.evening.ron", "other.evening.ron"]).is_err());
    }

    #[test]
    fn outputs_that_do_not_exist_are_refused() {
        let accepted = |arguments: &[&str]| {
            Arguments::try_parse_from([&["evenfall", "plan"], arguments].concat()).is_ok()
        };
        for known in [
            "--run-sheet",
            "--handbill",
            "--door-card",
            "--cards",
            "--calendar",
            "--site-plan",
            "--json",
            "--csv",
            "--picture",
        ] {
            assert!(accepted(&["--out", "pages", known]), "{known}");
        }
        assert!(!accepted(&["--run-sheet"]));
        for unknown in ["--hand-bill", "--poster"] {
            assert!(!accepted(&["--out", "pages", unknown]), "{unknown}");
        }
    }
}
