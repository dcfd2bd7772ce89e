//! `toeline fit`: who fits where, as text, CSV, JSON, an HTML page and pictures.

use crate::args::FitArgs;
use crate::{files, wish};
use std::path::Path;
use std::sync::Mutex;
use toeline_engine::PlanError;
use toeline_engine::carrier::At;
use toeline_engine::fit::{self, Answered, Fit, FitAsked, Progress};
use toeline_model::date::TimeOfDay;

pub(crate) fn run(args: &FitArgs) -> Result<u8, String> {
    let usual = FitAsked::new(wish::aeroplanes(&args.aircraft)?, wish::day(args.date.as_deref())?);
    let asked = FitAsked {
        time_utc: args.time.as_deref().map(TimeOfDay::parse).transpose()?,
        margin_m: args.margin.unwrap_or(usual.margin_m),
        vertical_margin_m: args.vertical_margin.unwrap_or(usual.vertical_margin_m),
        accuracy_m: args.accuracy,
        rule: wish::rule(args.margin_by),
        notams: wish::notices(&args.notice)?,
        ..usual
    };
    let at = At {
        date: asked.date,
        time: asked.time_utc,
    };
    if args.survey {
        return survey(&args.field, at, &FitAsked { spans: false, ..asked });
    }
    let text = files::read_map(&args.field, args.aerodrome.as_deref(), at)?.text;
    let found = answer(&text, &asked, "").map_err(|e| format!("{}: {e}", args.field.display()))?;
    // Written before anything is said: a file that cannot be written is an error, not half an answer.
    if let Some(folder) = &args.out {
        write(folder, &found)?;
    }
    if args.json {
        files::say(&fit::json(&found));
    } else if args.csv {
        files::say(&fit::csv(&found).0);
    } else {
        files::say(&fit::text(&found));
        if let Some(folder) = &args.out {
            files::say(&where_they_are(folder));
        }
    }
    Ok(u8::from(!found.all_fit()))
}

/// Tells how far it is, and of which aerodrome.
fn answer(text: &str, asked: &FitAsked, of_which: &str) -> Result<Fit, PlanError> {
    let line = Mutex::new(files::ReadingLine::new());
    let tell = |p: Progress| {
        // A line that another thread is writing is not waited for.
        let Ok(mut line) = line.try_lock() else { return };
        match p {
            Progress::Reading(p) => line.tell(p),
            Progress::Checking { done, of } => line.share(&format!("{of_which}checking who fits where"), done, of),
        }
    };
    fit::fit(text, asked, &tell)
}

/// Every aerodrome of a file, a line each.
fn survey(field: &Path, at: At, asked: &FitAsked) -> Result<u8, String> {
    // Figures out of range are the same error for every aerodrome: told once, before the first.
    fit::check(asked).map_err(|e| e.to_string())?;
    let (file, mut all_fit, mut none) = (field.display().to_string(), true, true);
    files::each_aerodrome(field, at, &mut |(number, of), aerodrome, text| {
        let answered = match text {
            None => Answered::NothingToTaxiOn,
            Some(Err(why)) => Answered::Not(why),
            Some(Ok(text)) => match answer(&text, asked, &format!("aerodrome {number} of {of}: ")) {
                Ok(fit) => Answered::Fit(Box::new(fit)),
                Err(e) => Answered::Not(e.to_string()),
            },
        };
        all_fit &= matches!(&answered, Answered::Fit(fit) if fit.all_fit());
        none &= matches!(answered, Answered::Not(_));
        files::say_on(&fit::survey_line(&file, (number, of), aerodrome, &answered))
    })?;
    Ok(if none { 2 } else { u8::from(!all_fit) })
}

fn write(folder: &Path, found: &Fit) -> Result<(), String> {
    files::make_folder(folder)?;
    let (table, spans) = fit::csv(found);
    let mut all = vec![
        ("fit.txt".to_string(), fit::text(found)),
        ("fit.csv".to_string(), table),
        ("spans.csv".to_string(), spans),
        ("fit.json".to_string(), fit::json(found)),
        ("fit.html".to_string(), fit::html(found)),
    ];
    for (i, a) in found.asked.aircraft.iter().enumerate() {
        // Ids are lower-case letters, digits and hyphens: checked with the aircraft file.
        all.push((format!("spans-{}.svg", a.id), fit::picture(found, i)));
    }
    for (name, content) in &all {
        files::write_whole(&folder.join(name), content)?;
    }
    Ok(())
}

fn where_they_are(folder: &Path) -> String {
    format!(
        "\nFiles in {}:\n  fit.txt       this text\n  fit.html      tables and pictures in one page: open it in a browser\n  fit.csv       \
         the table of stands and runways\n  spans.csv     every largest span\n  fit.json      everything, for other \
         programs\n  spans-*.svg   a picture of the largest spans for each aeroplane\n",
        folder.display()
    )
}
