// Package admission decides how much work is done at the same time, and who waits for it.
//
// A [Gate] has a capacity; every piece of work has a weight. While there is room work begins at once. Otherwise it queues, and
// what is done with the queue depends on what it is: a rush that passes, or overload.
//
//   - In a rush the oldest is served first, and waits as long as Patience. A few pieces may always wait, and as many more
//     as can be begun within Rush, by the pace that was learnt.
//   - Where more comes than that, waiting helps nobody: it is overload. Then the newest is served first, and whoever has waited
//     longer than Stretch times what the work itself takes is refused. So whoever is served is served about as fast as ever, the rest
//     learn at once that they should come back later, and the capacity is used all the same. It is over when nobody had to be refused for
//     the time of Calm.
//
// This is controlled delay (CoDel, RFC 8289) for requests with a last-in, first-out queue under overload, as described in B. Maurer,
// "Fail at Scale", ACM Queue 13(8), 2015; what differs is that overload is told from a rush by the wait that is expected, and ends by
// refusals and not by an empty queue, which a scheduler that stalls for a moment makes too.
//
// Two kinds of work are treated apart. Work that was let in before and had to step aside goes first, and is never refused: what was done
// for it would be lost. Work of a client that sends the next piece only after the answer, and so holds itself back, is patient: it keeps its Patience
// under overload, and has every fourth place.
package admission
