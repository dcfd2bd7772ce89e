//! One stage, one module: read, graph, route, instruction, clearance, briefing.

mod briefing;
mod clearance;
mod graph;
mod inspection;
mod instruction;
mod read;
mod real;
