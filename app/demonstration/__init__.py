"""The invented Quillmoor station: its people, its wear model and its past, loaded through the actions of real input."""
