/** Work begun by a press: pressed again while it is under way, by a double tap or a key held down, it is one press. */
export class OnePress<Answer = void> {
  #underWay: Promise<Answer> | undefined;

  /** @returns what the work answers, to the second press too */
  begin(work: () => Promise<Answer>): Promise<Answer> {
    this.#underWay ??= work().finally(() => (this.#underWay = undefined));
    return this.#underWay;
  }
}
