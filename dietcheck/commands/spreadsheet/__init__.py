"""Diet sheets and rotas as rows of a spreadsheet, there and back, by a layout of our own."""
