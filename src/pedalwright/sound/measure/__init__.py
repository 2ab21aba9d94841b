"""Measuring what is heard: levels, distortion, responses, repeats. One measure a file."""
