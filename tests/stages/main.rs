//! One stage, one module: read, graph, route, clearance, briefing.

mod briefing;
mod graph;
mod read;
mod real;
