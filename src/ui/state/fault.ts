/** What a person is told of an error that reached the screen. */
export function faultInWords(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
