// Package admission decides how much work is done at the same time, and who waits for it.
//
// A [Gate] has a capacity; every piece of work has a weight. While there is room work begins at once. Otherwise it queues, in the
// order of arrival, and how long the queue may be depends on what it is: a rush that passes, or overload.
//
//   - In a rush a few pieces may always wait, and as many more as can be begun within Rush, by the pace that was learnt. Each
//     waits as long as Patience.
//   - Where more comes than that, waiting helps nobody: it is overload. Whoever has waited longest is refused at once, until no more wait
//     than Stretch times what is at work, and from then on what finds so much before it is refused without waiting. So whoever is
//     served is served about as fast as ever, the rest learn at once that they should come back later, which costs next to nothing, and
//     the capacity is used all the same. It is over when nobody had to be refused for the time of Calm.
//
// This is controlled delay (CoDel, RFC 8289) brought to requests, as in B. Maurer, "Fail at Scale", ACM Queue 13(8), 2015: a long queue for a
// rush, a short one where it stands. What differs is that overload is told from a rush by the wait that is expected and not by how long the queue
// was not empty, that it ends by refusals, since a scheduler that stalls for a moment empties a queue too, and that the short queue
// is bounded by what it holds, so that no timer has to end the wait.
//
// Two kinds of work are treated apart. Work that was let in before and had to step aside goes first, and is never refused: what was done
// for it would be lost. Work of a client that sends the next piece only after the answer, and so holds itself back, is patient: it keeps its Patience
// under overload, and has every fourth place.
package admission
