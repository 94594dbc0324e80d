//! Two annuals of one airframe, or two editions of a plan, step by step.
