G21
(a (b) c)
M2
