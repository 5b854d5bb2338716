"""What only the quarter needs: money by group, what pays, what to stop; no question comes here."""
