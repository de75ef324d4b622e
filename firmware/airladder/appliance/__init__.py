"""What only the box needs: its start, its watchdog, its health, its updates."""
