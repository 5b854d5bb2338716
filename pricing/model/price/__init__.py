"""Units → what a sale brings: design, fit, ranges, reasons, one question at a time."""
