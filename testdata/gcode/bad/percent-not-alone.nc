% O1
M2
