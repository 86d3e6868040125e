/** Starts the page. Workers start after the first view: see app.ts. */
import './app.ts';
