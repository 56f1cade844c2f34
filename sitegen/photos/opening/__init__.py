"""May this photo be used, and what is in it? Every photo is judged before any picture is made."""
