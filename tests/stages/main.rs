//! One stage, one module: read, graph, route, clearance, briefing.

mod briefing;
mod clearance;
mod graph;
mod inspection;
mod read;
mod read_forms;
mod real;
