g 2 1 g 9 0 g 1 7 g 9 4
	G0	X - 1 . 5 y+2 z 0 0 7
g1x.5f100.(a comment ) ( m s g , read the dial)
n 0 0 1 2 3 g01 x 1 (only the last counts)

M30
