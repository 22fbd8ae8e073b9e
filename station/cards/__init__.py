"""An answer as text: plain lines to read, print or pipe."""
