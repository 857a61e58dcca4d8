"""Running gear and verdicts as SVG drawings: ink on paper, worn metal at true scale."""
