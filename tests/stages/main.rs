//! One stage, one module: read, graph, route, clearance, briefing.

mod briefing;
mod clearance;
mod graph;
mod inspection;
mod read;
mod real;
