using Keyline.Elevation;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Implementation;

namespace Keyline.Terrain;

/// <summary>Where level lines cross the sides between cell centres, and which crossing follows which along a line.</summary>
/// <remarks>A crossing is kept as its side, its level, and how far along the side it lies.</remarks>
internal sealed class Crossings(ElevationGrid ground, double[] levels)
{
    /// <summary>A side that runs east from its cell.</summary>
    public const int East = 0;

    /// <summary>A side that runs south from its cell.</summary>
    public const int South = 1;

    private const int Nowhere = -1;

    // Set in a crossing's level once a line reaches it.
    private const int Reached = int.MinValue;

    // How far a line is moved off a cell centre that it would otherwise touch a second time, in cells.
    private const double Apart = 1e-6;

    private uint[] _side = new uint[1024];
    private double[] _along = new double[1024];
    private int[] _level = new int[1024];
    private int[] _next = new int[1024];

    // The line being followed: its crossings, and its points as x, y, z.
    private int[] _line = new int[1024];
    private double[] _points = new double[(3 * 1024) + 3];
    private int _met;
    private int _laid;

    public int Count { get; private set; }

    /// <summary>Adds the crossings of a side with some levels, the lowest first.</summary>
    public void Add(int cell, int way, int firstLevel, int endLevel)
    {
        double from = ground.Array[cell];
        double rise = ground.Array[cell + (way == South ? ground.Frame.Columns : 1)] - from;
        if (Count + endLevel - firstLevel > _side.Length)
        {
            int room = checked(Math.Max(2 * Count, Count + endLevel - firstLevel));
            Array.Resize(ref _side, room);
            Array.Resize(ref _along, room);
            Array.Resize(ref _level, room);
            Array.Resize(ref _next, room);
        }

        for (int level = firstLevel; level < endLevel; level++)
        {
            (_side[Count], _level[Count], _next[Count]) = (((uint)cell << 1) | (uint)way, level, Nowhere);
            _along[Count] = (levels[level] - from) / rise;
            Count++;
        }
    }

    public void Link(int from, int to)
    {
        _next[from] = to;
        _level[to] |= Reached;
    }

    /// <summary>Follows the links: for each level its open lines, then its closed ones, each in the order of first crossing.</summary>
    public List<ContourLine>[] Lines(CancellationToken cancellationToken)
    {
        List<ContourLine>[] open = [.. levels.Select(_ => new List<ContourLine>())];
        List<ContourLine>[] closed = [.. levels.Select(_ => new List<ContourLine>())];
        HashSet<long> touched = [];
        for (int pass = 0; pass < 2; pass++)
        {
            for (int start = 0; start < Count; start++)
            {
                if (_next[start] < 0 || (pass == 0 && (_level[start] & Reached) != 0))
                {
                    continue;
                }

                cancellationToken.ThrowIfCancellationRequested();
                bool isClosed = pass == 1;
                int level = _level[start] & ~Reached;
                if (Follow(start, levels[level], isClosed))
                {
                    LayAgain(levels[level], isClosed, touched);
                }

                if (_laid >= 3 * (isClosed ? 4 : 2))
                {
                    LineString course = new(new PackedDoubleCoordinateSequence(_points[.._laid], 3, 0), GeometryFactory.Default);
                    (isClosed ? closed : open)[level].Add(new ContourLine(course, levels[level], isClosed));
                }
            }
        }

        return [.. open.Zip(closed, (some, others) => (List<ContourLine>)[.. some, .. others])];
    }

    // Takes the links away as it goes, so that no crossing is met twice. Returns whether the line runs through a cell centre.
    private bool Follow(int start, double height, bool isClosed)
    {
        GridFrame frame = ground.Frame;
        int[] next = _next;
        uint[] sides = _side;
        double[] along = _along;
        int[] line = _line;
        double[] points = _points;
        int columns = frame.Columns;
        int met = 0;
        bool exact = false;
        for (int at = start; at >= 0; met++)
        {
            if (met == line.Length)
            {
                Array.Resize(ref line, 2 * met);
                Array.Resize(ref points, (6 * met) + 3);
            }

            line[met] = at;
            uint side = sides[at];
            double t = along[at];
            int row = Math.DivRem((int)(side >> 1), columns, out int column);
            exact |= t == 0 || t == 1;

            // South is 1: the place goes to the row or to the column without a branch that nobody could foresee.
            int south = (int)(side & 1);
            double x = column + (t * (1 - south));
            double y = row + (t * south);
            points[3 * met] = frame.CentreX(x);
            points[(3 * met) + 1] = frame.CentreY(y);
            points[(3 * met) + 2] = height;
            int then = next[at];
            next[at] = Nowhere;
            at = then == start ? Nowhere : then;
        }

        (_line, _points, _met, _laid) = (line, points, met, 3 * met);
        if (isClosed)
        {
            Put(points[0], points[1], height);
        }

        return exact;
    }

    private void Put(double x, double y, double height)
    {
        (_points[_laid], _points[_laid + 1], _points[_laid + 2]) = (x, y, height);
        _laid += 3;
    }

    private Place PlaceOf(int crossing)
    {
        GridFrame frame = ground.Frame;
        int columns = frame.Columns;
        int cell = (int)(_side[crossing] >> 1);
        bool south = (_side[crossing] & 1) == South;
        int other = cell + (south ? columns : 1);
        double t = _along[crossing];
        int row = Math.DivRem(cell, columns, out int column);
        return south
            ? new Place(frame.CentreX(column), frame.CentreY(row + t), Centre(t, cell, other), 0, t == 0 ? -1 : 1)
            : new Place(frame.CentreX(column + t), frame.CentreY(row), Centre(t, cell, other), t == 0 ? 1 : -1, 0);
    }

    private static int Centre(double t, int cell, int other) => t == 0 ? cell : t == 1 ? other : Nowhere;

    // A line that runs through a cell centre crosses several sides there: they make one point. On a second visit to the centre
    // each of them is moved along its side, so that lines never touch.
    private void LayAgain(double height, bool isClosed, HashSet<long> touched)
    {
        Place[] line = new Place[_met];
        for (int i = 0; i < _met; i++)
        {
            line[i] = PlaceOf(_line[i]);
        }

        _laid = 0;
        int first = 0;
        while (isClosed && first < _met - 1 && line[first].Shares(line[(first + _met - 1) % _met]))
        {
            first++;
        }

        bool aside = false;
        for (int i = 0; i < _met; i++)
        {
            Place place = line[(first + i) % _met];
            bool again = i > 0 && place.Shares(line[(first + i - 1) % _met]);
            if (!again)
            {
                aside = place.Centre != Nowhere && !touched.Add(place.Centre);
            }

            if (!again || aside)
            {
                double step = aside ? Apart * ground.Frame.CellSize : 0;
                Put(place.X + (step * place.East), place.Y + (step * place.North), height);
            }
        }

        if (isClosed)
        {
            Put(_points[0], _points[1], height);
        }
    }

    /// <summary>Where a crossing lies; the cell centre it falls on or nowhere; and the way from there along its side.</summary>
    private readonly record struct Place(double X, double Y, int Centre, int East, int North)
    {
        public bool Shares(in Place other) => Centre != Nowhere && Centre == other.Centre;
    }
}
