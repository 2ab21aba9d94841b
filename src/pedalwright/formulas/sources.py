"""The published sources behind the formulas, by the key their docstrings use."""

SOURCES = {
    "OAfE": "R. Mancini, B. Carter (eds.), Op Amps for Everyone, Texas Instruments SLOD006 and 5th ed., "
    "Newnes; chapter 16 by T. Kugelstadt",
    "Franco": "S. Franco, Design with Operational Amplifiers and Analog Integrated Circuits, 3rd ed.",
    "Gayakwad": "R. Gayakwad, Op-Amps and Linear Integrated Circuits",
    "Coughlin": "R. Coughlin, F. Driscoll, Operational Amplifiers and Linear Integrated Circuits",
    "Floyd": "T. Floyd, Electronic Devices",
    "Boylestad": "R. Boylestad, L. Nashelsky, Electronic Devices and Circuit Theory",
    "Malvino": "A. Malvino, D. Bates, Electronic Principles",
    "Haykin": "S. Haykin, Digital Communications",
    "Sharma": "S. Sharma, Digital Communications",
    "ECE342": "ECE 342 Fall 2017, Lab 2 handout: The MFBP Filter (citing Analog Devices MT-220)",
    "PASP": "J. O. Smith, Physical Audio Signal Processing, CCRMA, Stanford (online)",
    "YehSmith": "D. T. Yeh, J. O. Smith, Proc. 9th Int. Conf. on Digital Audio Effects, DAFx-06, 2006",
    "YehAbelSmith": "D. T. Yeh, J. Abel, J. O. Smith, Simulation of the diode limiter in guitar distortion "
    "circuits by numerical solution of ordinary differential equations, DAFx-07, Bordeaux, 2007",
    "Banwell": "T. C. Banwell, A. Jayakumar, Electronics Letters 36(4), 291-292, 2000",
    "Holmes": "B. Holmes, M. van Walstijn, Potentiometer law modelling and identification for application in "
    "physics-based virtual analogue circuits, DAFx-19, 2019",
    "SBOS450B": "Texas Instruments, OPA1611 and OPA1612 data sheet SBOS450B, figure on noise calculation",
    "IEC61672": "IEC 61672-1, Electroacoustics: sound level meters, A-weighting (read in a reproduced table)",
    "SI": "The International System of Units, 9th ed., BIPM 2019: exact values of k and q",
}
