"""What makes and installs the folder for a PC without internet."""
