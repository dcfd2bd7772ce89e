//! One stage, one module: read, graph, route, instruction, clearance, briefing, and the odds beside clearance.

mod apron;
mod apron_random;
mod backtrack;
mod briefing;
mod carrier;
mod clearance;
mod closures;
mod engine_check;
mod fit;
mod graph;
mod inspection;
mod instruction;
mod notices;
mod odds;
mod read;
mod read_credit;
mod read_forms;
mod real;
mod route;
mod turns;
