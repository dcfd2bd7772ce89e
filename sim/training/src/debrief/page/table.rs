//! Every measure in a table.

use super::super::plot::safe;
use super::super::{Debrief, Judged};
use crate::measures::Source;
use std::fmt::Write as _;

pub(super) fn word(j: Judged) -> &'static str {
    match j {
        Judged::Good => "good",
        Judged::Told => "told",
        Judged::WorkOn => "WORK ON",
        Judged::LeftOut => "left out",
        Judged::NotRecorded => "not recorded",
    }
}

pub(super) fn table(out: &mut String, d: &Debrief, others: &[Debrief]) {
    out.push_str("<h2>Every measure</h2>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Table\"><table>\n<thead><tr><th scope=\"col\">What</th><th scope=\"col\">Verdict</th><th \
                  scope=\"col\">Seen</th><th scope=\"col\">Judged by</th>");
    for o in others {
        let _ = write!(out, "<th scope=\"col\">{}</th>", safe(&o.name));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for m in &d.measures {
        let whose = match m.source {
            Source::Published => "published",
            Source::Common => "common practice",
            Source::Ours => "ours",
        };
        let _ = write!(
            out,
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{whose}: {}</td>",
            safe(m.title),
            word(m.judged),
            safe(&m.sentence),
            safe(m.reference)
        );
        for o in others {
            let beside = o
                .measures
                .iter()
                .find(|x| x.key == m.key)
                .map_or("", |x| x.sentence.as_str());
            let _ = write!(out, "<td>{}</td>", safe(beside));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table></div>\n");
}
