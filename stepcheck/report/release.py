"""The version of stepcheck, where the build and the program both read it: looking it up in the installation is slow."""

VERSION = "0.1.0"
