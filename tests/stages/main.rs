//! One stage, one module: read, graph, route, clearance, briefing, and the odds beside clearance.

mod briefing;
mod clearance;
mod fit;
mod graph;
mod inspection;
mod odds;
mod read;
mod read_forms;
mod real;
