#!/bin/sh
# The words of firmware/install. Read by it, never run by itself.

help() {
    cat <<'END'
sudo sh firmware/install       makes this board (Raspberry Pi OS Lite of Debian 12 or 13, 64 bit) the trainer, and seals it:
                               the root becomes read-only, what is practised is kept on a small partition of its own

  --open               leave the root open to be written (nothing is sealed); for trying and building
  --anywhere           on a computer that is no Raspberry Pi too
  --wheels FOLDER      take the Python libraries from the wheels in FOLDER, and none from the network
  --into FOLDER        put all files into a root that lies there (an image), and run nothing of it; wants --wheels
  --packages           print the Debian packages that are wanted, and end; for building an image
  --remove             take away what this command put here; the practice log stays
  --remove --forget-everything    the practice log and all settings too

It can be repeated at any time, and takes up where it was cut off. Exit codes: 0 done; 1 something failed, and what was
here before goes on working; 2 a word is wrong; 3 something is missing, and the sentence says what to do.
END
}
