/** Answers that outlive the connection: the last of each question stays on the phone. */
import { NoConnection } from '../lib/api/client';
import type { Answers, Ask, Asked, How, Question } from '../lib/ask';
import type { Drawer } from '../lib/queue/drawer';

const KEPT: ReadonlySet<Question> = new Set<Question>(['picture', 'solve', 'next', 'diagnose', 'budget']);

export class RememberingAsk implements Ask {
  readonly #ask: Ask;
  readonly #drawer: Drawer;
  readonly #name: string;

  constructor(ask: Ask, drawer: Drawer, name: string) {
    this.#ask = ask;
    this.#drawer = drawer;
    this.#name = name;
  }

  async ask<Q extends Question>(question: Q, asked: Asked, how?: How): Promise<Answers[Q]> {
    const key = `groundloom.answer.${this.#name}.${question}.${JSON.stringify(asked)}`;
    try {
      const answer = await this.#ask.ask(question, asked, how);
      if (KEPT.has(question)) this.#drawer.set(key, JSON.stringify(answer));
      return answer;
    } catch (cause) {
      const kept = cause instanceof NoConnection ? this.#drawer.get(key) : null;
      if (kept !== null) return JSON.parse(kept) as Answers[Q];
      throw cause;
    }
  }
}
