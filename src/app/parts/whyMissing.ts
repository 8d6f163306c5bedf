/** Told when a part of the program could not be fetched: the network is away, or a newer version took its place. */
export const whyMissing =
  "This part of Wearbook could not be fetched: the network is away, or a newer version has taken its place. What you entered is kept; open the page anew.";
