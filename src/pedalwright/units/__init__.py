"""Values as written and printed, preferred numbers and markings: text at the edge, plain numbers inside."""
