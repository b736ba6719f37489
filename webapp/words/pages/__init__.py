"""What pages say of their own: what their fields ask, what an answer to a tap is, what rings on the phone in hand."""
