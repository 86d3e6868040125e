/** Work begun by a press: pressed again while it is under way, by a double tap or a key held down, it is one press. */
export class OnePress {
  #isAtWork = false;

  async begin(work: () => Promise<void>): Promise<void> {
    if (this.#isAtWork) return;
    this.#isAtWork = true;
    try {
      await work();
    } finally {
      this.#isAtWork = false;
    }
  }
}
