#!/usr/bin/env node
import '../dist/fairbed.js';
