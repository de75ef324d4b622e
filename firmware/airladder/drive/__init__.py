"""What goes out to a computer as an ordinary drive, and what comes in from one: FAT images and folders."""
