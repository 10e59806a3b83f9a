PNG
