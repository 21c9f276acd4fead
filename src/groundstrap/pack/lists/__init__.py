"""Lists of the pack: what is cut, bought, labelled and fused, for paper, for spreadsheets, for programs."""
