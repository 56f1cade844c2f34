"""Printed sheets of a vehicle: window sheet, disclosure sheet, mechanic's sheet, bay sheet, and QR codes."""
