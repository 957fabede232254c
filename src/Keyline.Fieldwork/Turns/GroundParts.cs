using NetTopologySuite.Geometries;

namespace Keyline.Fieldwork;

/// <summary>The parts of a field that no machine gets from one to the other over free ground, as where a pipe runs from fence to fence.</summary>
/// <remarks>
/// <para>Units: metres. Places with less than <see cref="Room"/> about them part the ground as a fence does. Promises: parts are numbered from the south-west; the same ground gives the same
/// parts. Cost: linear in its cells. Source: labelling of connected cells, common practice, no source.</para>
/// </remarks>
internal sealed class GroundParts
{
    /// <summary>Least room about a place that counts as passage, metres: half of the narrowest tractor.</summary>
    public const double Room = 1;

    // A place is looked for every so many metres of a line.
    private const double Step = 5;

    private readonly DrivableGround _ground;
    private readonly int[] _part;
    private readonly int _columns;

    private GroundParts(DrivableGround ground, int[] part, int columns, int count) => (_ground, _part, _columns, Count) = (ground, part, columns, count);

    /// <summary>How many there are.</summary>
    public int Count { get; }

    /// <summary>Finds them.</summary>
    public static GroundParts Of(DrivableGround ground, CancellationToken cancellationToken)
    {
        Envelope box = ground.Field.Boundary.EnvelopeInternal;
        int rows = (int)Math.Ceiling(box.Height / ground.Cell) + 1, columns = (int)Math.Ceiling(box.Width / ground.Cell) + 1;
        int[] part = new int[rows * columns];
        bool[] open = new bool[part.Length];
        for (int i = 0; i < open.Length; i++)
        {
            open[i] = ground.RoomAt(box.MinX + (((i % columns) + 0.5) * ground.Cell), box.MinY + (((i / columns) + 0.5) * ground.Cell)) >= Room;
        }

        int count = 0;
        Queue<int> next = new();
        for (int first = 0; first < part.Length; first++)
        {
            if (!open[first] || part[first] != 0)
            {
                continue;
            }

            cancellationToken.ThrowIfCancellationRequested();
            part[first] = ++count;
            next.Enqueue(first);
            while (next.TryDequeue(out int at))
            {
                int column = at % columns;
                Take(column > 0 ? at - 1 : -1);
                Take(column < columns - 1 ? at + 1 : -1);
                Take(at - columns);
                Take(at + columns < part.Length ? at + columns : -1);
            }
        }

        return new GroundParts(ground, part, columns, count);

        void Take(int cell)
        {
            if (cell >= 0 && open[cell] && part[cell] == 0)
            {
                part[cell] = count;
                next.Enqueue(cell);
            }
        }
    }

    /// <summary>The part that most of a line lies in; 0 where it lies in none.</summary>
    public int PartOf(LineString line)
    {
        NetTopologySuite.LinearReferencing.LengthIndexedLine along = new(line);
        Envelope box = _ground.Field.Boundary.EnvelopeInternal;
        Dictionary<int, int> votes = [];
        int steps = Math.Max(2, (int)(line.Length / Step));
        for (int k = 0; k <= steps; k++)
        {
            Coordinate at = along.ExtractPoint(line.Length * k / steps);
            int row = (int)Math.Floor((at.Y - box.MinY) / _ground.Cell), column = (int)Math.Floor((at.X - box.MinX) / _ground.Cell), cell = (row * _columns) + column;
            int part = row >= 0 && column >= 0 && column < _columns && cell < _part.Length ? _part[cell] : 0;
            if (part > 0)
            {
                votes[part] = votes.GetValueOrDefault(part) + 1;
            }
        }

        return votes.Count == 0 ? 0 : votes.OrderByDescending(v => v.Value).ThenBy(v => v.Key).First().Key;
    }
}
