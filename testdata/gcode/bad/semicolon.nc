G21 ; a note
M2
