//! AIXM 5.1 and 5.1.1, the aeronautical exchange standard (GML 3.2): messages of features.

pub(crate) mod tree;
