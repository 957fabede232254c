using Keyline.Planar;
using MathNet.Numerics.LinearAlgebra;

namespace Keyline.Driven;

/// <summary>Looks for one displacement behind the cross-track errors.</summary>
/// <remarks>
/// <para>Units: metres.</para>
/// <para>A displacement (east, north) puts an error of its component square to the line on every sample, one to the right of
/// travel puts the same error on all. Whichever leaves less, in the least-squares sense, is told of where it is as large as a
/// third of the error allowed and takes away half of the errors' size. Where all lines run one way, the part of a displacement
/// along them cannot be seen and is taken as nothing.</para>
/// </remarks>
internal static class ShiftFit
{
    private const double LeastOfAllowed = 1.0 / 3;
    private const double MostLeft = 0.5;

    // Directions of lines count as one below this share of the larger eigenvalue.
    private const double OneWay = 0.02;

    public static SteadyShift? Of(IReadOnlyList<PassSamples> passes, double allowed)
    {
        double count = 0, sum = 0, squares = 0;
        Matrix<double> normal = Matrix<double>.Build.Dense(2, 2);
        Vector<double> right = Vector<double>.Build.Dense(2);
        foreach (PassSamples pass in passes)
        {
            for (int i = 0; i < pass.Errors.Length; i++)
            {
                XY across = pass.Direction[i].Left * -1;
                double e = pass.Errors[i];
                (count, sum, squares) = (count + 1, sum + e, squares + (e * e));
                normal[0, 0] += across.X * across.X;
                normal[0, 1] += across.X * across.Y;
                normal[1, 1] += across.Y * across.Y;
                (right[0], right[1]) = (right[0] + (e * across.X), right[1] + (e * across.Y));
            }
        }

        if (count == 0)
        {
            return null;
        }

        normal[1, 0] = normal[0, 1];
        double before = Math.Sqrt(squares / count), mean = sum / count, besideMean = Math.Sqrt(Math.Max(0, (squares / count) - (mean * mean)));
        Vector<double> shift = Solve(normal, right);
        double besideShift = Math.Sqrt(Math.Max(0, (squares - (shift * right)) / count));
        bool isOffset = besideMean <= besideShift;
        double size = isOffset ? Math.Abs(mean) : shift.L2Norm(), remaining = isOffset ? besideMean : besideShift;
        return size < LeastOfAllowed * allowed || remaining > MostLeft * before ? null
            : isOffset ? new SteadyShift(0, 0, mean, remaining)
            : new SteadyShift(shift[0], shift[1], 0, remaining);
    }

    private static Vector<double> Solve(Matrix<double> normal, Vector<double> right)
    {
        MathNet.Numerics.LinearAlgebra.Factorization.Evd<double> evd = normal.Evd(Symmetricity.Symmetric);
        Vector<double> shift = Vector<double>.Build.Dense(2);
        double most = evd.EigenValues.Max(v => v.Real);
        for (int k = 0; k < 2; k++)
        {
            Vector<double> axis = evd.EigenVectors.Column(k);
            double value = evd.EigenValues[k].Real;
            if (value > OneWay * most)
            {
                shift += axis * (axis * right / value);
            }
        }

        return shift;
    }
}
