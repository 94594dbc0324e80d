//! What an auditor should look at: observations, one file each.
