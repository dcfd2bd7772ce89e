//! `toeline closing`: what is lost when something is closed.

use crate::args::ClosingArgs;
use crate::{files, wish};
use toeline_engine::carrier;
use toeline_engine::closures::{self, Asked, Question, What};
use toeline_model::date::TimeOfDay;

/// 0 nothing is lost, 1 something is or may be.
pub(crate) fn run(args: &ClosingArgs) -> Result<u8, String> {
    let close: Vec<Asked> = [
        (What::Lane, &args.lane),
        (What::Runway, &args.runway),
        (What::Stand, &args.stand),
        (What::HoldingPosition, &args.holding_position),
        (What::Area, &args.area),
    ]
    .into_iter()
    .flat_map(|(what, names)| names.iter().map(move |n| Asked { what, name: n.clone() }))
    .collect();
    if close.is_empty() {
        return Err(
            "nothing is asked to be closed; give --lane, --runway, --stand, --holding-position or --area".to_string(),
        );
    }
    let question = Question {
        close,
        aircraft: wish::aeroplanes(&args.aircraft)?,
        date: wish::day(args.date.as_deref())?,
        time_utc: args.time.as_deref().map(TimeOfDay::parse).transpose()?,
        notams: wish::notices(&args.notice)?,
    };
    let text = files::read_map(
        &args.field,
        args.aerodrome.as_deref(),
        carrier::At {
            date: question.date,
            time: question.time_utc,
        },
    )?
    .text;
    let mut line = files::ReadingLine::new();
    let broken = closures::broken(&text, &question, &mut |done, of| {
        line.share("looking for ways", done, of);
    })
    .map_err(|e| format!("{}: {e}", args.field.display()))?;
    drop(line);
    files::say(&if args.json {
        closures::json(&broken)
    } else if args.csv {
        closures::csv(&broken)
    } else {
        closures::text(&broken)
    });
    Ok(u8::from(broken.loses() || broken.not_known()))
}
