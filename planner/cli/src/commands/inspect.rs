//! `toeline inspect`: what a map file holds, what it lacks, every repair and doubt.

use crate::args::InspectArgs;
use crate::{files, wish};
use toeline_engine::{carrier, inspection};
use toeline_model::date::TimeOfDay;

pub(crate) fn run(args: &InspectArgs) -> Result<u8, String> {
    let at = wish::at(args.date.as_deref(), args.time.as_deref())?;
    if args.aerodromes {
        let list = files::aerodromes_of(&args.field, at)?;
        files::say(&if args.json {
            carrier::aerodromes_json(&list)
        } else {
            carrier::aerodromes_text(&list)
        });
        return Ok(0);
    }
    let notams = wish::notices(&args.notice)?;
    let time = args.time.as_deref().map(TimeOfDay::parse).transpose()?;
    let text = files::read_map(&args.field, args.aerodrome.as_deref(), at)?.text;
    let mut line = files::ReadingLine::new();
    let laid = match args.notice.as_slice() {
        [] => None,
        _ => Some((&notams[..], wish::day(args.date.as_deref())?, time)),
    };
    let found = inspection::inspect_laid(&text, laid, &mut |p| line.tell(p))
        .map_err(|e| format!("{}: {e}", args.field.display()))?;
    drop(line);
    // Written before anything is said: a picture that cannot be written is an error, not half an answer.
    if let Some(path) = &args.picture {
        files::write_whole(path, inspection::picture(&found))?;
    }
    if args.json {
        files::say(&inspection::json(&found));
    } else {
        files::say(&inspection::text(&found));
        if let Some(path) = &args.picture {
            files::say(&format!(
                "Picture with the same numbers: {} (open it in a browser)\n",
                path.display()
            ));
        }
    }
    Ok(u8::from(found.is_doubtful(args.strict)))
}
