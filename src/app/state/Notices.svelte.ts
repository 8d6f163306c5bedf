/** What the reader must be told besides the answers: each stays until it is dealt with. */

export interface Notice {
  readonly text: string;
  readonly actions: readonly {readonly label: string; readonly act: () => void}[];
}

export class Notices {
  list = $state.raw<readonly Notice[]>([]);

  tell(text: string, actions: Notice["actions"] = []): void {
    this.list = [...this.list.filter((notice) => notice.text !== text), {text, actions}];
  }

  dismiss(notice: Notice): void {
    this.list = this.list.filter((each) => each !== notice);
  }

  clear(): void {
    this.list = [];
  }
}
