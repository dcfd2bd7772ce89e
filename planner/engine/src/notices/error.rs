//! Why a file of notices cannot be read.

/// Everything wrong with a file of notices.
#[derive(Clone, Debug, PartialEq)]
pub enum NoticesError {
    /// Neither JSON nor XML.
    NotNotices,
    /// Text that is not JSON, or not of the form.
    Form {
        /// What is wrong, with its line and column.
        found: String,
    },
    /// XML that cannot be read.
    Xml {
        /// What is wrong, with its place.
        found: String,
    },
    /// Too much of something.
    TooLarge {
        /// What there is too much of, with the limit.
        found: String,
    },
    /// Everything wrong in the notices.
    Notices(Vec<NoticeProblem>),
}

/// Something wrong in one notice.
#[derive(Clone, Debug, PartialEq)]
pub struct NoticeProblem {
    /// "notice 3 (A0012/26)".
    pub notice: String,
    /// What is wrong, with the value and the limit.
    pub text: String,
}

/// Most problems told; the rest is counted.
const TOLD: usize = 20;

impl core::fmt::Display for NoticesError {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match self {
            NoticesError::NotNotices => f.write_str(
                "no notices: neither JSON that begins with { nor XML that begins with <. Digital notices (AIXM 5.1.1) and the form of \
                 docs/notices.md are read",
            ),
            NoticesError::Form { found } => write!(f, "not of the form of docs/notices.md: {found}"),
            NoticesError::Xml { found } => write!(f, "digital notices that cannot be read: {found}"),
            NoticesError::TooLarge { found } => write!(f, "too large: {found}"),
            NoticesError::Notices(list) => {
                write!(f, "{} wrong in the notices:", if list.len() == 1 { "1 thing".to_string() } else { format!("{} things", list.len()) })?;
                for p in list.iter().take(TOLD) {
                    write!(f, "\n  {}: {}", p.notice, p.text)?;
                }
                if list.len() > TOLD {
                    write!(f, "\n  and {} more", list.len() - TOLD)?;
                }
                Ok(())
            }
        }
    }
}

impl std::error::Error for NoticesError {}
