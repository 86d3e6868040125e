/** Files that leave the page. */

/** Safari asks first, and fetches the file once the person has answered. */
const FETCHED_WITHIN_MS = 5 * 60_000;

/** Hands a file to the person, the way a browser does. */
export function download(file: File): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(file);
  link.download = file.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), FETCHED_WITHIN_MS);
}
