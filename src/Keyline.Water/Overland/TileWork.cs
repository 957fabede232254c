namespace Keyline.Water;

/// <summary>What a step does to the tiles of one band: flow over faces first, from the depths before the step; cells after it, from those flows.</summary>
/// <remarks>
/// <para>Promises: faces of a band read the depths and the old flows of the bands beside it and write its own new flows; cells read the new flows of the band below too and
/// write the band's own depths and old flows. So the cells of a band may be worked once the faces of it and of both its neighbours are.</para>
/// <para>Cost: linear in tiles with water. Source: ours.</para>
/// </remarks>
internal sealed class TileWork
{
    private readonly FlowField _field;
    private readonly StormOptions _options;
    private readonly RipNodes? _nodes;
    private readonly RipWater? _rips;
    private readonly TileMap _tiles;
    private readonly (int From, int To, int Soil)[][] _runs;
    private readonly double[] _depth;
    private readonly float[] _x;
    private readonly float[] _y;
    private readonly float[] _nextX;
    private readonly float[] _nextY;

    public TileWork(FlowField field, SoilMap soils, RipNodes? nodes, RipWater? rips, TileMap tiles, StormOptions options)
    {
        (_field, _nodes, _rips, _tiles, _options) = (field, nodes, rips, tiles, options);
        _runs = field.Runs(soils);
        _depth = field.Depth;
        (_x, _nextX) = (field.FlowX[0], field.FlowX[1]);
        (_y, _nextY) = (field.FlowY[0], field.FlowY[1]);
    }

    /// <summary>Faces with no fast tile beside them. Those that have one count as closed here.</summary>
    public void SlowFaces(int band, FlowStep step)
    {
        foreach ((int start, int end) in _tiles.Stretches(band, t => _tiles.Live[t] && !_tiles.Fast[t]))
        {
            Faces(band, start, end, step);
            for (int c = start; c < end; c++)
            {
                Close(band, c, _tiles.IsFast(band, c - 1), _tiles.IsFast(band - 1, c));
            }
        }

        for (int c = 0; c < _tiles.Across; c++)
        {
            int t = (band * _tiles.Across) + c;
            if (_tiles.Fast[t])
            {
                Close(band, c, !_tiles.IsFast(band, c - 1), !_tiles.IsFast(band - 1, c));
            }
            else if (!_tiles.Live[t] && _tiles.Flowed[t])
            {
                Clear(band, c, _nextX, _nextY);
            }
        }
    }

    /// <summary>Cells of tiles that take the step whole.</summary>
    public void SlowCells(int band, FlowStep step, SoilStep[] soils, double rain)
    {
        for (int c = 0; c < _tiles.Across; c++)
        {
            int t = (band * _tiles.Across) + c;
            if (!_tiles.Live[t] && _tiles.Flowed[t])
            {
                Clear(band, c, _x, _y);
            }

            _tiles.Flowed[t] = _tiles.Live[t];
        }

        for (int c = 0; _rips is not null && rain == 0 && c < _tiles.Across; c++)
        {
            int t = (band * _tiles.Across) + c;
            if (!_tiles.Live[t] && _tiles.Deepest[t] == 0 && _nodes!.ByTile[t].Length > 0 && _rips.Exchange(_nodes.ByTile[t], _nextX, _nextY, step.Step, 0))
            {
                Note(band, c);
            }
        }

        foreach ((int start, int end) in _tiles.Stretches(band, t => !_tiles.Fast[t] && (rain > 0 || _tiles.Live[t] || _tiles.Deepest[t] > 0)))
        {
            Cells(band, start, end, step, soils, rain);
            bool west = _tiles.IsFast(band, start - 1);
            foreach ((int from, int to, int row) in RowsOf(band, start, end))
            {
                int first = from + (west ? 1 : 0);
                Array.Copy(_nextX, first, _x, first, to - first);
                if (row % TileMap.Rows != 0 || band == 0)
                {
                    Array.Copy(_nextY, from, _y, from, to - from);
                    continue;
                }

                for (int c = start; c < end; c++)
                {
                    if (!_tiles.IsFast(band - 1, c))
                    {
                        int a = _field.Index(row, c * TileMap.Columns);
                        Array.Copy(_nextY, a, _y, a, Math.Min(TileMap.Columns, to - a));
                    }
                }
            }
        }
    }

    /// <summary>All faces of fast tiles, and those of their neighbours that lie between.</summary>
    public void FastFaces(int band, FlowStep step)
    {
        foreach ((int start, int end) in _tiles.Stretches(band, t => _tiles.Fast[t]))
        {
            Faces(band, start, end, step);
            foreach ((_, int to, int row) in RowsOf(band, start, end))
            {
                if (end < _tiles.Across)
                {
                    FlowRows.Flow(_depth, _field.Bed, _x, _y, _nextX, (to, to + 1, 1), _field.Stride, 1, step, false);
                }
            }
        }

        for (int c = 0; band > 0 && c < _tiles.Across; c++)
        {
            if (!_tiles.IsFast(band, c) && _tiles.IsFast(band - 1, c))
            {
                (int from, int to, _) = RowsOf(band, c, c + 1).First;
                FlowRows.Flow(_depth, _field.Bed, _y, _x, _nextY, (from, to, 1), _field.Stride, _field.Stride, step, _options.UsesVectors);
            }
        }
    }

    /// <summary>Cells of fast tiles, and what comes from them to their neighbours.</summary>
    public void FastCells(int band, FlowStep step, SoilStep[] soils, double rain)
    {
        double share = step.Step / step.Cell;
        for (int c = 0; c < _tiles.Across; c++)
        {
            if (!_tiles.IsFast(band, c))
            {
                Beside(band, c, share);
            }
        }

        foreach ((int start, int end) in _tiles.Stretches(band, t => _tiles.Fast[t]))
        {
            Cells(band, start, end, step, soils, rain);
            foreach ((int from, int to, _) in RowsOf(band, start, end))
            {
                Array.Copy(_nextX, from, _x, from, to - from);
                Array.Copy(_nextY, from, _y, from, to - from);
            }
        }
    }

    // Cells of a slow tile along its fast neighbours take their share of each part of the step.
    private void Beside(int band, int c, double share)
    {
        bool west = _tiles.IsFast(band, c - 1);
        bool east = _tiles.IsFast(band, c + 1);
        bool north = _tiles.IsFast(band - 1, c);
        bool south = _tiles.IsFast(band + 1, c);
        if (!(west || east || north || south))
        {
            return;
        }

        int t = (band * _tiles.Across) + c;
        int last = Math.Min((band + 1) * TileMap.Rows, _field.Frame.Rows) - 1;
        foreach ((int from, int to, int row) in RowsOf(band, c, c + 1))
        {
            if (west)
            {
                Add(from, _nextX[from]);
                _x[from] = _nextX[from];
            }

            if (east)
            {
                Add(to - 1, -_nextX[to]);
            }

            for (int i = from; north && row % TileMap.Rows == 0 && i < to; i++)
            {
                Add(i, _nextY[i]);
                _y[i] = _nextY[i];
            }

            for (int i = from; south && row == last && i < to; i++)
            {
                Add(i, -_nextY[i + _field.Stride]);
            }
        }

        _tiles.Flowed[t] = true;

        void Add(int i, double flow)
        {
            _depth[i] += flow * share;
            _tiles.Deepest[t] = Math.Max(_tiles.Deepest[t], _depth[i]);
        }
    }

    private void Faces(int band, int start, int end, in FlowStep step)
    {
        for (int c = start; c < end; c++)
        {
            (int from, int to, int row) = RowsOf(band, c, c + 1).First;
            (int, int, int) faces = (from, to, Math.Min(TileMap.Rows, _field.Frame.Rows - row));
            float along = FlowRows.Flow(_depth, _field.Bed, _x, _y, _nextX, faces, _field.Stride, 1, step, _options.UsesVectors);
            float across = FlowRows.Flow(_depth, _field.Bed, _y, _x, _nextY, faces, _field.Stride, _field.Stride, step, _options.UsesVectors);
            _tiles.Speed[(band * _tiles.Across) + c] = Math.Max(along, across);
        }
    }

    private void Cells(int band, int start, int end, in FlowStep step, SoilStep[] soils, double rain)
    {
        foreach ((int from, int to, int row) in RowsOf(band, start, end))
        {
            IntakeRows.Fill(_depth, _field.Bed, _nextX, _nextY, from, to, _field.Stride, step.Step / step.Cell, rain, _options.UsesVectors);
            foreach ((int a, int b, int soil) in _runs[row])
            {
                int first = Math.Max(a, from);
                int behind = Math.Min(b, to);
                if (first < behind)
                {
                    IntakeRows.Soak(_depth, _field.Taken, first, behind, soils[soil], _options.UsesVectors);
                }
            }
        }

        for (int c = start; c < end; c++)
        {
            int t = (band * _tiles.Across) + c;
            _rips?.Exchange(_nodes!.ByTile[t], _nextX, _nextY, step.Step, rain);
            Note(band, c);
        }
    }

    private void Note(int band, int c)
    {
        (int from, int to, int row) = RowsOf(band, c, c + 1).First;
        _tiles.Deepest[(band * _tiles.Across) + c] = IntakeRows.Deepest(_depth, from, to, Math.Min(TileMap.Rows, _field.Frame.Rows - row), _field.Stride);
    }

    private void Clear(int band, int c, float[] flowX, float[] flowY)
    {
        foreach ((int from, int to, _) in RowsOf(band, c, c + 1))
        {
            Array.Clear(flowX, from, to - from);
            Array.Clear(flowY, from, to - from);
        }
    }

    // Closes the west and the north faces of a tile for the whole step.
    private void Close(int band, int c, bool west, bool north)
    {
        bool top = north;
        foreach ((int from, int to, _) in RowsOf(band, c, c + 1))
        {
            if (west)
            {
                _nextX[from] = 0;
            }

            if (top)
            {
                Array.Clear(_nextY, from, to - from);
            }

            top = false;
        }
    }

    /// <summary>The rows of some tiles of a band.</summary>
    public TileRows RowsOf(int band, int start, int end) =>
        new(_field, band * TileMap.Rows, Math.Min((band + 1) * TileMap.Rows, _field.Frame.Rows), start * TileMap.Columns, Math.Min(end * TileMap.Columns, _field.Frame.Columns));
}
