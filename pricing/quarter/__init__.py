"""What only the quarter needs: money earned and lost by group, what pays, what to stop; numbers for
`compare`, `report` and `accuracy`. No question at the door or on the bench comes through here."""
