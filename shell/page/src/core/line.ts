/* A line of questions to one way, one in flight at a time. Of the questions with the same key only the latest waits:
 * while somebody drags a setting, what lies between is never computed. */
import type { Way } from './way';

interface Question { key: string; request: string; settle(answer: string | null): void; fail(problem: Error): void }

export class Line {
  private waiting: Question[] = [];
  private busy: string | undefined;

  constructor(private readonly way: Way) {}

  /** The answer, or null when a newer question with the same key took its place. */
  ask(key: string, request: string): Promise<string | null> {
    return new Promise((settle, fail) => {
      const older = this.waiting.findIndex((question) => question.key === key);
      const question = { key, request, settle, fail };
      if (older >= 0) {
        this.waiting[older]!.settle(null);
        this.waiting[older] = question;
      } else {
        this.waiting.push(question);
      }
      void this.pump();
    });
  }

  private async pump(): Promise<void> {
    if (this.busy !== undefined) return;
    const question = this.waiting.shift();
    if (!question) return;
    this.busy = question.key;
    try {
      question.settle(await this.way.ask(question.request));
    } catch (problem) {
      question.fail(problem as Error);
    }
    this.busy = undefined;
    void this.pump();
  }
}
