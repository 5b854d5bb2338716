"""Units → what a fault turns out to be, the chance to fix it, parts and hours."""
