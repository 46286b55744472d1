"""Valid rows for every table, of one small invented world, the same in every run."""
