"""The desk: pages for the salesperson's phone, with messages to send, answers, a to-do list and the filmed walk."""
