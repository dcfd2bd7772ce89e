//! What was typed. What it means is worked out in `wish`.

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

const AFTER: &str = "Training and planning aid only, not for navigation: the current aerodrome chart, air traffic control, the \
    aeroplane's flight manual, local rules and the instructor come first.\n\nExit codes: 0 found, and clear of everything the map \
    shows; 1 answered with a finding (not clear, or not known, or no way); 2 could not answer.";

/// Plan, brief and drive the way from the parking stand to the runway.
#[derive(Debug, Parser)]
#[command(name = "toeline", version, about, after_help = AFTER)]
pub(crate) struct Typed {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// What a map file holds and lacks, every repair and doubt, as text, JSON and a picture
    Inspect(InspectArgs),
    /// The way, its clearance, the engine check and the briefing
    Plan(PlanArgs),
    /// What closing a lane, a runway or an area breaks: which stands lose their way to which runway, for which aeroplanes
    Closing(ClosingArgs),
    /// Who fits where: every stand to every runway for several aeroplanes, and the largest span of every lane and stand
    Fit(FitArgs),
    /// Drive the planned way in the sandbox window, or without one by a script or by the model pilot
    Drive(DriveArgs),
    /// What a recorded drive shows: what was good, the one thing to work on next, and what to practise for it
    Debrief(DebriefArgs),
    /// Exercises: list, show, check a file of your own, drive one by a script or by the model pilot
    Exercise(ExerciseArgs),
    /// List, show or check aircraft files
    Aircraft(AircraftArgs),
    /// Pupils and their attempts on this machine: list, add, progress, export, import, backup, check
    Logbook(LogbookArgs),
}

#[derive(Debug, Args)]
pub(crate) struct InspectArgs {
    /// Map file: an airfield as GeoJSON (RFC 7946) with aeroway tags, OpenStreetMap data (.osm, its JSON, .osm.pbf), or AIXM 5.1.1
    /// (a message, or a folder of them)
    #[arg(value_name = "FIELD")]
    pub(crate) field: PathBuf,
    /// Which aerodrome of OpenStreetMap or AIXM data, by name, code, feature or longitude,latitude [default: the only one]
    #[arg(long, value_name = "NAME|CODE|LON,LAT", allow_hyphen_values = true)]
    pub(crate) aerodrome: Option<String>,
    /// List the aerodromes of OpenStreetMap or AIXM data instead, those with most lanes first
    #[arg(long, conflicts_with_all = ["aerodrome", "picture", "strict"])]
    pub(crate) aerodromes: bool,
    /// NOTAMs to lay over the field and tell what becomes of each: digital notices (AIXM 5.1.1) or the form of docs/notices.md;
    /// may be given several times
    #[arg(long, value_name = "FILE", conflicts_with = "aerodromes")]
    pub(crate) notice: Vec<PathBuf>,
    /// Print JSON instead of text
    #[arg(long)]
    pub(crate) json: bool,
    /// Draw the field with a numbered mark on every repair and doubt, and the list under it
    #[arg(long, value_name = "FILE.svg")]
    pub(crate) picture: Option<PathBuf>,
    /// Count repairs as findings too: exit code 1 when the map had to be mended
    #[arg(long)]
    pub(crate) strict: bool,
    /// Day for notices, and at which the time slices of AIXM data are looked at, YYYY-MM-DD [default: today, UTC]
    #[arg(long, value_name = "DAY")]
    pub(crate) date: Option<String>,
    /// Time of that day, UTC as HH:MM or HH:MMZ [default: what is so at any time of the day counts]
    #[arg(long, value_name = "TIME")]
    pub(crate) time: Option<String>,
}

/// What a plan needs; `plan` and `drive` share it.
#[derive(Debug, Args)]
pub(crate) struct Journey {
    /// Map file: an airfield as GeoJSON (RFC 7946) with aeroway tags, OpenStreetMap data (.osm, its JSON, .osm.pbf), or AIXM 5.1.1
    /// (a message, or a folder of them)
    #[arg(value_name = "FIELD")]
    pub(crate) field: PathBuf,
    /// Which aerodrome of OpenStreetMap or AIXM data, by name, code, feature or longitude,latitude [default: the only one]
    #[arg(long, value_name = "NAME|CODE|LON,LAT", allow_hyphen_values = true)]
    pub(crate) aerodrome: Option<String>,
    /// Aeroplane: the name of a built-in one (see `toeline aircraft`) or a file of your own
    #[arg(long, value_name = "NAME|FILE")]
    pub(crate) aircraft: String,
    /// Stand to start from, by its name or feature id; after a landing the designator of the runway, or the holding position
    /// by which it was left; or a point on the apron as longitude,latitude in degrees, with --parked-heading
    #[arg(long, value_name = "STAND|RUNWAY|HOLDING POSITION|POINT", allow_hyphen_values = true)]
    pub(crate) from: String,
    /// Engine-check area, stand (for fuel or a wash) or holding position to go by; may be given several times, in order
    #[arg(long, value_name = "AREA|STAND|HOLDING POSITION")]
    pub(crate) via: Vec<String>,
    /// Runway designator, holding position or stand to end at; "threshold 26" ends on the runway at its threshold, along the
    /// runway where no lane leads there; "into-wind" chooses the runway by the wind and the aeroplane's wind limits
    /// [default: where the taxi instruction ends]
    #[arg(
        long,
        value_name = "RUNWAY|HOLDING POSITION|STAND",
        required_unless_present = "instruction"
    )]
    pub(crate) to: Option<String>,
    /// Taxi instruction to follow exactly, in plain words: "taxi to holding point D1 runway 26 via L, A, D, hold short of
    /// runway 17"
    #[arg(long, value_name = "WORDS")]
    pub(crate) instruction: Option<String>,
    /// Surface wind with its north: 240/12T (true: METAR, TAF), 240/12G20M (magnetic: tower, ATIS), VRB/04, calm
    #[arg(long, value_name = "WIND")]
    pub(crate) wind: String,
    /// Day for closures and the magnetic model, YYYY-MM-DD [default: today, UTC]
    #[arg(long, value_name = "DAY")]
    pub(crate) date: Option<String>,
    /// Time of that day for closures: UTC as HH:MM or HH:MMZ, or local as HH:MML with --time-zone and the local --date [default:
    /// a closure at any time of the day counts]
    #[arg(long, value_name = "TIME")]
    pub(crate) time: Option<String>,
    /// Time zone whose local time is told beside UTC: a name of the IANA database (Europe/Lisbon) or an offset (+01:00)
    #[arg(long, value_name = "ZONE", requires = "time", allow_hyphen_values = true)]
    pub(crate) time_zone: Option<String>,
    /// NOTAMs laid over the field: digital notices (AIXM 5.1.1) or the form of docs/notices.md; may be given several times. What
    /// is closed or limited at --date and --time counts; what cannot be placed is told and makes the verdict "not known"
    #[arg(long, value_name = "FILE")]
    pub(crate) notice: Vec<PathBuf>,
    /// Heading of the parked aeroplane, degrees true, where the map does not give it or it is parked otherwise
    #[arg(long, value_name = "DEG", allow_negative_numbers = true)]
    pub(crate) parked_heading: Option<f64>,
    /// Least gap you want between any part and anything else, metres [default: 3]
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    pub(crate) margin: Option<f64>,
    /// Least gap in height between a part and what it passes over or under, metres [default: 0.5]
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    pub(crate) vertical_margin: Option<f64>,
    /// Horizontal accuracy of the map, metres [default: as the map states, otherwise 2]
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    pub(crate) accuracy: Option<f64>,
    /// Whose figures decide about the gap beside the aeroplane, and with it the exit code
    #[arg(long, value_name = "WHOSE", value_enum, default_value_t = MarginBy::Pilot)]
    pub(crate) margin_by: MarginBy,
    /// Refuse a map that must be repaired or is doubtful (exit code 2) instead of mending it; see `toeline inspect`
    #[arg(long)]
    pub(crate) strict: bool,
    /// How the pupil wobbles: steady offset of the nose wheel right (R) or left (L) of the line, spread of its wandering,
    /// correlation length of that, metres, as 0.25R/0.4/20 [default: a beginner's, ours, no source]
    #[arg(long, value_name = "OFFSET/SPREAD/LENGTH")]
    pub(crate) wobble: Option<String>,
    /// Simulated drives for the odds that a part touches something; 0 for no odds [default: 10000]
    #[arg(long, value_name = "N")]
    pub(crate) drives: Option<u32>,
    /// Seed of the simulated drives: the same seed gives the same drives [default: 1]
    #[arg(long, value_name = "N")]
    pub(crate) seed: Option<u64>,
}

/// Whose figures decide.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum MarginBy {
    /// Your own margin
    Pilot,
    /// The design rows of FAA AC 150/5300-13B
    Faa,
    /// The design rows of ICAO Annex 14
    Icao,
}

#[derive(Debug, Args)]
pub(crate) struct PlanArgs {
    #[command(flatten)]
    pub(crate) journey: Journey,
    /// Folder for the briefing files: text, JSON, GeoJSON, SVG and the job to drive
    #[arg(long, value_name = "FOLDER")]
    pub(crate) out: Option<PathBuf>,
    /// Tell other ways too, at most this many, each with what is better or worse than on the planned one
    #[arg(long, value_name = "N", default_value_t = 0)]
    pub(crate) others: usize,
    /// Whose wobble: a recorded attempt, a folder of them (oldest first by name), or a pupil of the logbook. The odds take his own,
    /// measured from them, and the plan says how they change against the default
    #[arg(long, value_name = "FILE|FOLDER|PUPIL", conflicts_with = "wobble")]
    pub(crate) pupil: Option<PathBuf>,
    /// The logbook that --pupil names somebody of [default: logbook.sqlite in this system's folder for toeline's data]
    #[arg(long, value_name = "FILE", requires = "pupil")]
    pub(crate) logbook: Option<PathBuf>,
    /// Units to read in; JSON and GeoJSON keep metres
    #[arg(long, value_name = "UNITS", value_enum, default_value_t = UnitsTyped::Metric)]
    pub(crate) units: UnitsTyped,
    /// Whether the text is coloured; "auto" colours it on a terminal that has colours, unless NO_COLOR is set
    #[arg(long, value_name = "WHEN", value_enum, default_value_t = Colour::Auto)]
    pub(crate) colour: Colour,
    /// Print JSON instead of text
    #[arg(long)]
    pub(crate) json: bool,
}

/// Units to read in.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum UnitsTyped {
    /// Metres, kilopascals, degrees Celsius
    Metric,
    /// Feet, psi, inches of mercury, degrees Fahrenheit
    Imperial,
}

/// When a text is coloured.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum Colour {
    /// On a terminal
    Auto,
    /// In a file or a pipe too
    Always,
    /// Nowhere
    Never,
}

/// What is closed in thought; each may be given several times, and all of them are closed at once.
#[derive(Debug, Args)]
pub(crate) struct ClosingArgs {
    /// Map file: an airfield as GeoJSON (RFC 7946) with aeroway tags, OpenStreetMap data (.osm, its JSON, .osm.pbf), or AIXM 5.1.1
    /// (a message, or a folder of them)
    #[arg(value_name = "FIELD")]
    pub(crate) field: PathBuf,
    /// Which aerodrome of OpenStreetMap or AIXM data, by name, code, feature or longitude,latitude [default: the only one]
    #[arg(long, value_name = "NAME|CODE|LON,LAT", allow_hyphen_values = true)]
    pub(crate) aerodrome: Option<String>,
    /// Taxiway or taxilane to close: a letter takes every lane that bears it, a feature id one
    #[arg(long, value_name = "LETTER|FEATURE")]
    pub(crate) lane: Vec<String>,
    /// Runway to close, by a designator, both (08/26) or its feature id
    #[arg(long, value_name = "RUNWAY")]
    pub(crate) runway: Vec<String>,
    /// Stand to close, by its name or feature id
    #[arg(long, value_name = "STAND")]
    pub(crate) stand: Vec<String>,
    /// Holding position to close, by its name or feature id
    #[arg(long, value_name = "NAME")]
    pub(crate) holding_position: Vec<String>,
    /// Area of the map to close with all that reaches into it (closed area whatever its dates, apron, engine-check area, hot
    /// spot, helipad), by its name or feature id
    #[arg(long, value_name = "AREA")]
    pub(crate) area: Vec<String>,
    /// Aeroplanes, built-in or files, with commas between them [default: every built-in one]
    #[arg(long, value_name = "NAME|FILE", value_delimiter = ',')]
    pub(crate) aircraft: Vec<String>,
    /// Day whose closures on the map count before and after, YYYY-MM-DD [default: today, UTC]
    #[arg(long, value_name = "DAY")]
    pub(crate) date: Option<String>,
    /// Time of that day, UTC, HH:MM [default: a closure at any time of the day counts]
    #[arg(long, value_name = "TIME")]
    pub(crate) time: Option<String>,
    /// NOTAMs laid over the field: digital notices (AIXM 5.1.1) or the form of docs/notices.md; may be given several times. What
    /// is closed or limited at --date and --time counts; what cannot be placed is told and makes the verdict "not known"
    #[arg(long, value_name = "FILE")]
    pub(crate) notice: Vec<PathBuf>,
    /// Print JSON instead of text
    #[arg(long, conflicts_with = "csv")]
    pub(crate) json: bool,
    /// Print CSV instead of text: one line for each stand, runway end and aeroplane
    #[arg(long)]
    pub(crate) csv: bool,
}

#[derive(Debug, Args)]
pub(crate) struct FitArgs {
    /// Map file: an airfield as GeoJSON (RFC 7946) with aeroway tags, OpenStreetMap data (.osm, its JSON, .osm.pbf), or AIXM 5.1.1
    /// (a message, or a folder of them)
    #[arg(value_name = "FIELD")]
    pub(crate) field: PathBuf,
    /// Which aerodrome of OpenStreetMap or AIXM data, by name, code, feature or longitude,latitude [default: the only one]
    #[arg(long, value_name = "NAME|CODE|LON,LAT", allow_hyphen_values = true)]
    pub(crate) aerodrome: Option<String>,
    /// Aeroplanes, parted by commas: names of built-in ones or files of your own [default: all built-in ones]
    #[arg(long, value_name = "NAME|FILE,…", value_delimiter = ',')]
    pub(crate) aircraft: Vec<String>,
    /// Day for closures, YYYY-MM-DD [default: today, UTC]
    #[arg(long, value_name = "DAY")]
    pub(crate) date: Option<String>,
    /// Time of that day for closures, UTC, HH:MM [default: a closure at any time of the day counts]
    #[arg(long, value_name = "TIME")]
    pub(crate) time: Option<String>,
    /// NOTAMs laid over the field: digital notices (AIXM 5.1.1) or the form of docs/notices.md; may be given several times. What
    /// is closed or limited at --date and --time counts; what cannot be placed is told and makes the verdict "not known"
    #[arg(long, value_name = "FILE")]
    pub(crate) notice: Vec<PathBuf>,
    /// Least gap you want between any part and anything else, metres [default: 3]
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    pub(crate) margin: Option<f64>,
    /// Least gap in height between a part and what it passes over or under, metres [default: 0.5]
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    pub(crate) vertical_margin: Option<f64>,
    /// Horizontal accuracy of the map, metres [default: as the map states, otherwise 2]
    #[arg(long, value_name = "M", allow_negative_numbers = true)]
    pub(crate) accuracy: Option<f64>,
    /// Whose figures decide in the table, and with it the exit code; largest spans are always by your own margin
    #[arg(long, value_name = "WHOSE", value_enum, default_value_t = MarginBy::Pilot)]
    pub(crate) margin_by: MarginBy,
    /// Folder for the files: text, CSV, JSON, HTML and a picture for each aeroplane
    #[arg(long, value_name = "FOLDER")]
    pub(crate) out: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long)]
    pub(crate) json: bool,
    /// Print the table as CSV instead of text
    #[arg(long, conflicts_with = "json")]
    pub(crate) csv: bool,
    /// Answer for every aerodrome of the file, one line of JSON each as soon as it is known, without the largest spans
    #[arg(long, conflicts_with_all = ["json", "csv", "out", "aerodrome"])]
    pub(crate) survey: bool,
}

#[derive(Debug, Args)]
pub(crate) struct DriveArgs {
    #[command(flatten)]
    pub(crate) journey: Journey,
    /// Drive by this control script, tick for tick and without a window
    #[arg(long, value_name = "FILE", requires = "record")]
    pub(crate) script: Option<PathBuf>,
    /// Let the model pilot drive, without a window, and tell how precisely it followed the way
    #[arg(long, requires = "record", conflicts_with = "script")]
    pub(crate) model_pilot: bool,
    /// Print what the model pilot did as JSON instead of text
    #[arg(long, requires = "model_pilot")]
    pub(crate) json: bool,
    /// File for the record of the attempt [default: the first free of attempt-1.json, attempt-2.json, …]
    #[arg(long, value_name = "FILE")]
    pub(crate) record: Option<PathBuf>,
    /// What is broken on the aeroplane: a JSON file, for example {"brake": ["weak", "none"]}
    #[arg(long, value_name = "FILE")]
    pub(crate) faults: Option<PathBuf>,
    /// Put what is driven in the sandbox into the logbook too, for this pupil: a name or number of your choice
    #[arg(long, value_name = "PUPIL", conflicts_with_all = ["script", "model_pilot"])]
    pub(crate) pupil: Option<String>,
    /// File of the logbook [default: logbook.sqlite in this system's folder for data of yours]
    #[arg(long, value_name = "FILE", requires = "pupil")]
    pub(crate) logbook: Option<PathBuf>,
}

/// Exit code 0: nothing found to work on; 1: something; 2: could not answer. Nothing leaves this computer.
#[derive(Debug, Args)]
pub(crate) struct DebriefArgs {
    /// Recorded attempt (docs/attempts.md)
    #[arg(value_name = "ATTEMPT")]
    pub(crate) attempt: PathBuf,
    /// Another attempt on the same way to put beside it, or the word model-pilot; may be given several times
    #[arg(long, value_name = "ATTEMPT|model-pilot")]
    pub(crate) against: Vec<PathBuf>,
    /// Map file, where it is no longer at the place that the attempt names
    #[arg(long, value_name = "FIELD")]
    pub(crate) field: Option<PathBuf>,
    /// Put this pupil's attempts in the logbook beside it, oldest first: how each measure went
    #[arg(long, value_name = "PUPIL")]
    pub(crate) pupil: Option<String>,
    /// Logbook to take them from; without it the usual one
    #[arg(long, value_name = "FILE", requires = "pupil")]
    pub(crate) logbook: Option<PathBuf>,
    /// Write one self-contained page: map, plots along the way, replay
    #[arg(long, value_name = "FILE")]
    pub(crate) html: Option<PathBuf>,
    /// Write the series as CSV
    #[arg(long, value_name = "FILE")]
    pub(crate) csv: Option<PathBuf>,
    /// Print JSON instead of text (docs/debrief.schema.json)
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct AircraftArgs {
    #[command(subcommand)]
    pub(crate) what: Option<AircraftCommand>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum AircraftCommand {
    /// The built-in aeroplanes
    List,
    /// One aeroplane's file, to look at or to start your own from
    Show {
        /// Name of a built-in aeroplane, or a file
        #[arg(value_name = "NAME|FILE")]
        name: String,
    },
    /// Whether an aircraft file is sound; everything wrong in it at once
    Check {
        /// Aircraft file
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
}

/// Exit code of a drive 0: every stage done within its limits; 1: not; 2: could not answer.
#[derive(Debug, Args)]
pub(crate) struct ExerciseArgs {
    #[command(subcommand)]
    pub(crate) what: Option<ExerciseCommand>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum ExerciseCommand {
    /// The built-in course, in rising difficulty
    List,
    /// What an exercise teaches, its stages and what is judged in it
    Show {
        /// Name of a built-in exercise, or a file
        #[arg(value_name = "NAME|FILE")]
        name: String,
        /// Print the file itself, to start your own from
        #[arg(long)]
        json: bool,
    },
    /// Whether an exercise file is sound and can be driven; everything wrong in it at once
    Check {
        /// Exercise file (docs/exercises.md)
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
    /// Drive an exercise in the sandbox window, or without one by a script or by the model pilot, and tell what came of each
    /// stage
    Drive {
        /// Name of a built-in exercise, or a file
        #[arg(value_name = "NAME|FILE")]
        name: String,
        /// Aeroplane: the name of a built-in one or a file of your own [default: the exercise's]
        #[arg(long, value_name = "NAME|FILE")]
        aircraft: Option<String>,
        /// Drive by this control script, which may also look, say, judge and switch (docs/exercises.md)
        #[arg(long, value_name = "FILE", conflicts_with = "model_pilot")]
        script: Option<PathBuf>,
        /// Let the model pilot drive
        #[arg(long)]
        model_pilot: bool,
        /// File for the record of the attempt
        #[arg(long, value_name = "FILE")]
        record: Option<PathBuf>,
        /// Put what is driven in the sandbox into the logbook too, for this pupil: a name or number of your choice
        #[arg(long, value_name = "PUPIL", conflicts_with_all = ["script", "model_pilot"])]
        pupil: Option<String>,
        /// File of the logbook [default: logbook.sqlite in this system's folder for data of yours]
        #[arg(long, value_name = "FILE", requires = "pupil")]
        logbook: Option<PathBuf>,
        /// Print what came of the stages as JSON instead of text
        #[arg(long)]
        json: bool,
    },
}

#[derive(Debug, Args)]
pub(crate) struct LogbookArgs {
    /// The logbook's file [default: logbook.sqlite in this system's folder for toeline's data]
    #[arg(long, value_name = "FILE", global = true)]
    pub(crate) logbook: Option<PathBuf>,
    /// Print JSON instead of text
    #[arg(long, global = true)]
    pub(crate) json: bool,
    #[command(subcommand)]
    pub(crate) what: LogbookCommand,
}

#[derive(Debug, Subcommand)]
pub(crate) enum LogbookCommand {
    /// The attempts, newest first
    List {
        /// Attempts of this pupil only
        #[arg(long, value_name = "PUPIL")]
        pupil: Option<String>,
        /// At most so many, the newest
        #[arg(long, value_name = "N")]
        most: Option<u32>,
    },
    /// Everybody in the logbook
    Pupils,
    /// Put recorded attempts into the logbook; the files stay where they are
    Add {
        /// Record of an attempt, as `toeline drive` and the sandbox write it
        #[arg(value_name = "ATTEMPT", required = true)]
        attempts: Vec<PathBuf>,
        /// Who drove: any name or number the pupil chose
        #[arg(long, value_name = "PUPIL")]
        pupil: String,
        /// When it was driven, UTC, 2026-07-04T14:30Z [default: when the file was last written]
        #[arg(long, value_name = "TIME")]
        when: Option<String>,
        /// Name of the exercise [default: the drill that the record tells, if it does]
        #[arg(long, value_name = "NAME")]
        exercise: Option<String>,
    },
    /// One attempt with its figures
    Show {
        /// The attempt's name in the list, or its beginning
        #[arg(value_name = "NAME")]
        name: String,
    },
    /// How figures went over a pupil's attempts, oldest first
    Progress {
        /// The pupil
        #[arg(value_name = "PUPIL")]
        pupil: String,
        /// Which figure; may be given several times [default: all that his newest attempt has]
        #[arg(long, value_name = "FIGURE")]
        figure: Vec<String>,
        /// Measure every attempt anew, as `toeline debrief` does, instead of the stored figures
        #[arg(long, conflicts_with = "figure")]
        measures: bool,
    },
    /// Write an attempt back into a file, to replay or debrief it
    Take {
        /// The attempt's name in the list, or its beginning
        #[arg(value_name = "NAME")]
        name: String,
        /// The new file
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
    /// Write everything into a new file: .json whole, .csv the figures alone
    Export {
        /// The new file, its name ending in .json or .csv
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
    /// Take in what an export holds and the logbook does not; what is in it already stays as it is
    Import {
        /// The export, its name ending in .json or .csv
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
    /// Copy the logbook into a new file, at one moment, while it may be in use
    Backup {
        /// The new file
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
    /// Whether the file is sound and every attempt in it whole; everything wrong at once
    Check,
    /// Give a pupil another name
    Rename {
        /// The name now
        #[arg(value_name = "PUPIL")]
        pupil: String,
        /// The new name
        #[arg(value_name = "NEW NAME")]
        new: String,
    },
    /// Remove a pupil with all attempts of his; backups and exports are not touched
    Forget {
        /// The pupil
        #[arg(value_name = "PUPIL")]
        pupil: String,
        /// Really: without it nothing is removed, and what would be is told
        #[arg(long)]
        really: bool,
    },
}
